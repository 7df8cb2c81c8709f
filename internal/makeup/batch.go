package makeup

import (
	"driftline/units"
)

// Figure is a value of a quantity in a unit.
type Figure struct {
	Quantity units.Quantity `json:"quantity"`
	Value    float64        `json:"value"`
	Unit     string         `json:"unit"`
}

// Ask is a batch as a keeper wants it.
type Ask struct {
	Litres        float64
	Salinity      float64  // practical salinity wanted
	TempC         float64  // of the finished water; 0 takes 25
	Salt          string   // the salt's name, "" for plain sea salt
	Have          []Figure // what the water holds at that salinity without supplements: tested, or from the label; natural ratio for the rest
	Want          []Figure // aims
	With          []string // substances to use; nil takes the usual ones
	SaltGramsPerL float64  // at salinity 35 by the label; 0 takes the usual
	TapSP         float64  // salinity already in the water to start from (purified: 0)
}

// Raises is what an addition does to the batch.
type Raises struct {
	Quantity string  `json:"quantity"`
	By       float64 `json:"by"`
	Unit     string  `json:"unit"`
}

// Addition is one substance to weigh in.
type Addition struct {
	Substance string   `json:"substance"`
	Amount    float64  `json:"amount"`
	Unit      string   `json:"unit"`
	Raises    []Raises `json:"raises"`
	Says      string   `json:"says"`
}

// Order is one step at the bin.
type Order struct {
	Do   string `json:"do"`
	Wait string `json:"wait,omitempty"` // "10 min", "until clear"
	Why  string `json:"why"`
}

// Batch is a recipe.
type Batch struct {
	Litres    float64    `json:"litres"`
	Salinity  float64    `json:"salinity_psu"`
	Salt      *Addition  `json:"salt,omitempty"`
	Additions []Addition `json:"additions"`
	Order     []Order    `json:"order"`
	Cautions  []string   `json:"cautions"`
	Warnings  []string   `json:"warnings"`
	Result    []Figure   `json:"result"`
	SG        []Figure   `json:"sg"` // salinity as specific gravity, for the hydrometer at the bin
}
