package animals

// Rule is a generality of the trade about who goes with whom.
type Rule struct{ About, Says string }

// Rules are common practice, no source, unless they say otherwise; the keeper's own
// experience comes before them.
var Rules = []Rule{
	{"Order", "The shy come first, the bold last; one to three fish every two to four weeks, so that nitrogen and tempers can follow."},
	{"Likes", "No two of the same species, shape or colour that live alone; nor two that eat the same in the same place."},
	{"Bullies", "Dottybacks, damsels and triggers come last or not at all."},
	{"Coral eaters", "Butterflies and angels beside prized polyps are watched, hungry ones most of all."},
	{"Space", "About 15 (10 to 30) cm around corals with sweepers; they reach 20 cm in one description, further in flow."},
	{"Room", "About 25 (20 to 40) L for each 2.5 cm of grown fish; the food they need is the better limit, see Feeding."},
	{"Meeting", "A bicolor damselfish stopped attacking a young one behind glass within four hours and began again when it moved (published trial on habituation in Pomacentrus partitus)."},
}
