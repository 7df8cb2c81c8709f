package stoichiometry

// Cautions: hazard classes after the Globally Harmonized System, from memory;
// handling is common practice, no source. The label decides.
const labelFirst = "Read the label and the safety sheet first; they outrank this book."

var (
	lowHazard  = []string{"Low hazard. Keep dust out of the eyes, dose slowly."}
	magnesia   = []string{"Low hazard. Dose slowly; laxative if swallowed."}
	calciumDry = []string{
		"Eye irritant; wear glasses.",
		"Heats strongly when dissolved: add the salt to cool water in small steps, in plastic, not glass.",
		"Never mix with carbonate or bicarbonate stock: it turns to solid chalk.",
	}
	caustic = []string{
		"Caustic: burns skin and eyes, and the dust harms the airways. Wear goggles, gloves and a mask, and keep the face away.",
		"Raises pH quickly: dose slowly and watch pH.",
	}
	lye = []string{
		"Strongly caustic: severe burns to skin and eyes. Wear goggles and gloves.",
		"Heats strongly when dissolved: add it to cool water in small steps, never water to it.",
		"Raises pH quickly: dose very slowly and watch pH.",
	}
	soda = []string{
		"Eye irritant; dissolves warm. Raises pH: dose slowly.",
		"Never mix with calcium stock: it turns to solid chalk.",
	}
	peroxide = []string{
		"3 %: irritates eyes and skin; wear gloves and glasses. Above 8 %: burns and serious eye damage.",
		"Never with bleach, acids, alcohol or metals; keep under a vented cap. Bleaches cloth.",
		"Harms animals when overdosed.",
	}
	oxidizer  = []string{"Oxidizer: keep away from fuel, heat and acids. Irritates eyes."}
	nutrient  = []string{"Low hazard. Feeds algae: small steps, test between them."}
	trace     = []string{"A little goes far and too much poisons animals: dose only against a test. Harmful if swallowed; keep from children."}
	boron     = []string{"May harm fertility and the unborn child: wear gloves, avoid dust, keep from children."}
	ammonium  = []string{"Toxic to animals in the tank, more so at high pH: for tanks without animals. Irritates eyes; never with bleach."}
	nitriteC  = []string{"Toxic if swallowed and to fish; oxidizer. Wear gloves, keep from children and acids."}
	lanthanum = []string{"Makes a fine precipitate that harms gills: far diluted, slowly, ahead of a fine filter. Uses up alkalinity. Eye irritant."}
	flammable = []string{"Flammable: away from heaters and sparks. Feeds bacteria that use up oxygen: small steps, strong surface movement."}
	vinegar   = []string{"Irritates eyes and skin; burns when strong. Lowers pH; feeds bacteria that use up oxygen: small steps, strong surface movement. Never with bleach."}
	acid      = []string{"Corrosive: burns skin and eyes, harmful vapour. Goggles, gloves, fresh air; acid into water, never water into acid. Never with bleach.", "Uses up alkalinity and lowers pH."}
)

var salts = []Pure{
	salt("magnesium chloride hexahydrate", "MgCl2·6H2O", magnesia, "magnesium chloride", "magnesium chloride 6-hydrate"),
	salt("magnesium chloride anhydrous", "MgCl2", calciumDry[:2], "anhydrous magnesium chloride"),
	salt("magnesium sulfate heptahydrate", "MgSO4·7H2O", magnesia, "magnesium sulfate", "Epsom salt", "Epsom salts", "bitter salt"),
	salt("magnesium sulfate anhydrous", "MgSO4", magnesia, "anhydrous magnesium sulfate"),
	salt("magnesium hydroxide", "Mg(OH)2", magnesia, "milk of magnesia"),
	salt("calcium chloride dihydrate", "CaCl2·2H2O", calciumDry, "calcium chloride", "calcium chloride 2-hydrate"),
	salt("calcium chloride anhydrous", "CaCl2", calciumDry, "anhydrous calcium chloride"),
	salt("calcium chloride hexahydrate", "CaCl2·6H2O", calciumDry[:1], "calcium chloride 6-hydrate"),
	salt("calcium hydroxide", "Ca(OH)2", caustic, "slaked lime", "hydrated lime", "kalkwasser", "limewater", "pickling lime"),
	salt("calcium carbonate", "CaCO3", lowHazard, "chalk", "aragonite", "calcite"),
	salt("calcium nitrate tetrahydrate", "Ca(NO3)2·4H2O", oxidizer, "calcium nitrate"),
	salt("sodium bicarbonate", "NaHCO3", lowHazard, "sodium hydrogen carbonate", "baking soda", "bicarbonate of soda", "bicarb"),
	salt("sodium carbonate", "Na2CO3", soda, "soda ash", "sodium carbonate anhydrous", "anhydrous sodium carbonate"),
	salt("sodium carbonate decahydrate", "Na2CO3·10H2O", soda, "washing soda crystals"),
	salt("sodium hydroxide", "NaOH", lye, "caustic soda", "lye"),
	salt("potassium bicarbonate", "KHCO3", lowHazard, "potassium hydrogen carbonate"),
	salt("potassium carbonate", "K2CO3", soda, "potash"),
	salt("strontium chloride hexahydrate", "SrCl2·6H2O", trace, "strontium chloride"),
	salt("potassium chloride", "KCl", lowHazard, "muriate of potash"),
	salt("potassium sulfate", "K2SO4", lowHazard),
	salt("potassium iodide", "KI", trace),
	salt("potassium bromide", "KBr", trace),
	salt("sodium bromide", "NaBr", trace),
	salt("sodium fluoride", "NaF", trace),
	salt("sodium nitrate", "NaNO3", oxidizer),
	salt("potassium nitrate", "KNO3", oxidizer, "saltpetre", "saltpeter"),
	salt("sodium nitrite", "NaNO2", nitriteC),
	salt("ammonium chloride", "NH4Cl", ammonium, "sal ammoniac"),
	salt("monopotassium phosphate", "KH2PO4", nutrient, "potassium dihydrogen phosphate", "monobasic potassium phosphate", "MKP"),
	salt("tripotassium phosphate", "K3PO4", soda[:1], "potassium phosphate tribasic"),
	salt("disodium phosphate", "Na2HPO4", nutrient, "disodium hydrogen phosphate", "dibasic sodium phosphate", "sodium hydrogen phosphate"),
	salt("monosodium phosphate", "NaH2PO4", nutrient, "sodium dihydrogen phosphate", "monobasic sodium phosphate"),
	salt("trisodium phosphate", "Na3PO4", caustic, "sodium phosphate tribasic"),
	salt("sodium chloride", "NaCl", lowHazard, "table salt", "common salt"),
	salt("sodium sulfate", "Na2SO4", lowHazard, "anhydrous sodium sulfate"),
	salt("sodium thiosulfate pentahydrate", "Na2S2O3·5H2O", lowHazard, "sodium thiosulfate"),
	salt("boric acid", "H3BO3", boron),
	salt("borax", "Na2B4O7·10H2O", boron, "sodium tetraborate decahydrate", "disodium tetraborate decahydrate", "sodium tetraborate"),
	salt("lanthanum chloride heptahydrate", "LaCl3·7H2O", lanthanum, "lanthanum chloride"),
	salt("hydrogen peroxide", "H2O2", peroxide, "peroxide"),
	salt("ethanol", "C2H5OH", flammable, "ethyl alcohol"),
	salt("acetic acid", "CH3COOH", vinegar),
	salt("hydrochloric acid", "HCl", acid, "muriatic acid", "hydrogen chloride"),
}
