package stoichiometry

// Cautions: hazard classes after the Globally Harmonized System and heats of
// dissolution from memory; handling is common practice, no source. The label and
// local rules decide. Every chemical has LabelFirst before its own and Slowly
// after them.
const (
	LabelFirst = "Read the label and the safety sheet first: they and the rules of your place go before anything said here."
	Slowly     = "Dissolve it in fresh water first and add it slowly where the flow is strong, never onto animals."

	dust      = "Low hazard: the dust irritates eyes and airways. Do not breathe it, and rinse eyes and skin with water."
	getsCold  = "Cools the water as it dissolves: stir until it is clear and back at its warmth."
	noCalcium = "Never mix with calcium stock: it turns to solid chalk."
	noSoda    = "Never mix with carbonate or bicarbonate stock: it turns to solid chalk."
)

var (
	lowHazard  = []string{dust}
	magnesia   = []string{dust, "Keep strong solutions apart from carbonate, limewater and phosphate: they turn to sludge. Laxative if swallowed."}
	chlorideM  = append(magnesia[:2:2], "Warms a little as it dissolves.")
	sulfateM   = append(magnesia[:2:2], "Never into strong calcium stock either: gypsum falls out.", getsCold)
	neutral    = []string{dust, getsCold}
	bicarb     = []string{dust, getsCold, noCalcium, "Gives off gas with acids: not in a closed vessel."}
	calciumDry = []string{
		"Eye irritant, dries the skin; wear glasses and gloves. Do not breathe the dust.",
		"Heats strongly when dissolved: add the salt to cool water in small steps, in plastic, not glass.",
		noSoda,
	}
	caustic = []string{
		"Caustic: burns skin and eyes, and the dust harms the airways. Wear goggles, gloves and a mask, air the room, and keep the face away.",
		"Warms as it dissolves. Raises pH quickly: dose slowly and watch pH. Never with acids, and not into strong magnesium stock.",
	}
	lye = []string{
		"Strongly caustic: severe burns to skin and eyes, and the mist harms the airways. Wear goggles and gloves, and air the room.",
		"Heats strongly when dissolved: add it to cool water in small steps, never water to it. Never with acids or aluminium.",
		"Raises pH quickly: dose very slowly and watch pH.",
	}
	soda = []string{
		"Eye irritant, dries the skin; wear glasses and gloves, and do not breathe the dust. Dissolves warm. Raises pH: dose slowly.",
		noCalcium,
		"Gives off gas with acids: not in a closed vessel.",
	}
	peroxide = []string{
		"3 %: irritates eyes and skin; wear gloves and glasses, and air the room. Above 8 %: burns and serious eye damage.",
		"Never with bleach, acids, alcohol or metals; keep under a vented cap. Bleaches cloth.",
		"Harms animals when overdosed.",
	}
	oxidizer = []string{"Oxidizer: keep away from fuel, heat and acids. Irritates eyes and skin; do not breathe the dust.", getsCold}
	nutrient = []string{dust, "Never mix with calcium or magnesium stock: it turns to solid phosphate. Feeds algae: small steps, test between them."}
	trace    = []string{"Irritates eyes and skin: wear gloves and glasses, and do not breathe the dust.",
		"A little goes far and too much poisons animals: dose only against a test. Harmful if swallowed; keep from children."}
	strontium = append(trace[:2:2], "Keep strong solutions apart from carbonate and sulfate: it falls out.", getsCold)
	iodide    = append(trace[:2:2], "Never with peroxide, bleach or acids: they set iodine free. Keep it dark.", getsCold)
	boron     = []string{"May harm fertility and the unborn child, irritates eyes: wear gloves and glasses, do not breathe the dust, keep from children. Never with strong oxidizers.",
		"Dissolves slowly and cools the water: warm it and stir until it is clear."}
	ammonium  = []string{"Toxic to animals in the tank, more so at high pH: for tanks without animals. Irritates eyes; never with bleach."}
	nitriteC  = []string{"Toxic if swallowed and to fish; oxidizer. Wear gloves, keep from children and acids."}
	lanthanum = []string{"Makes a fine precipitate that harms gills: far diluted, slowly, ahead of a fine filter. Uses up alkalinity. Eye irritant."}
	flammable = []string{"Flammable: away from heaters and sparks. Feeds bacteria that use up oxygen: small steps, strong surface movement."}
	vinegar   = []string{"Irritates eyes and skin; burns when strong. Lowers pH; feeds bacteria that use up oxygen: small steps, strong surface movement. Never with bleach."}
	acid      = []string{"Corrosive: burns skin and eyes, harmful vapour. Goggles, gloves, fresh air; acid into water, never water into acid. Never with bleach.", "Uses up alkalinity and lowers pH."}
)

var salts = []Pure{
	salt("magnesium chloride hexahydrate", "MgCl2·6H2O", chlorideM, "magnesium chloride", "magnesium chloride 6-hydrate", "nigari"),
	salt("magnesium chloride anhydrous", "MgCl2", calciumDry[:2], "anhydrous magnesium chloride"),
	salt("magnesium sulfate heptahydrate", "MgSO4·7H2O", sulfateM, "magnesium sulfate", "Epsom salt", "Epsom salts", "bitter salt"),
	salt("magnesium sulfate anhydrous", "MgSO4", magnesia, "anhydrous magnesium sulfate"),
	salt("magnesium hydroxide", "Mg(OH)2", magnesia, "milk of magnesia"),
	salt("calcium chloride dihydrate", "CaCl2·2H2O", calciumDry, "calcium chloride", "calcium chloride 2-hydrate"),
	salt("calcium chloride anhydrous", "CaCl2", calciumDry, "anhydrous calcium chloride"),
	salt("calcium chloride hexahydrate", "CaCl2·6H2O", []string{calciumDry[0], getsCold, noSoda}, "calcium chloride 6-hydrate"),
	salt("calcium hydroxide", "Ca(OH)2", caustic, "slaked lime", "hydrated lime", "lime", "kalkwasser", "limewater", "pickling lime"),
	salt("calcium carbonate", "CaCO3", lowHazard, "chalk", "aragonite", "calcite"),
	salt("calcium nitrate tetrahydrate", "Ca(NO3)2·4H2O", oxidizer, "calcium nitrate"),
	salt("sodium bicarbonate", "NaHCO3", bicarb, "sodium hydrogen carbonate", "sodium hydrogencarbonate", "baking soda", "bicarbonate of soda", "bicarb"),
	salt("sodium carbonate", "Na2CO3", soda, "soda ash", "sodium carbonate anhydrous", "anhydrous sodium carbonate"),
	salt("sodium carbonate decahydrate", "Na2CO3·10H2O", soda, "washing soda crystals"),
	salt("sodium hydroxide", "NaOH", lye, "caustic soda", "lye"),
	salt("potassium bicarbonate", "KHCO3", bicarb, "potassium hydrogen carbonate"),
	salt("potassium carbonate", "K2CO3", soda, "potash"),
	salt("strontium chloride hexahydrate", "SrCl2·6H2O", strontium, "strontium chloride"),
	salt("potassium chloride", "KCl", neutral, "muriate of potash"),
	salt("potassium sulfate", "K2SO4", lowHazard),
	salt("potassium iodide", "KI", iodide, "iodide of potash"),
	salt("potassium bromide", "KBr", trace),
	salt("sodium bromide", "NaBr", trace),
	salt("sodium fluoride", "NaF", trace),
	salt("sodium nitrate", "NaNO3", oxidizer, "Chile saltpetre", "Chile saltpeter", "nitrate of soda"),
	salt("potassium nitrate", "KNO3", oxidizer, "saltpetre", "saltpeter"),
	salt("sodium nitrite", "NaNO2", nitriteC),
	salt("ammonium chloride", "NH4Cl", ammonium, "sal ammoniac"),
	salt("monopotassium phosphate", "KH2PO4", nutrient, "potassium phosphate", "potassium dihydrogen phosphate", "monobasic potassium phosphate", "potassium phosphate monobasic", "MKP"),
	salt("dipotassium phosphate", "K2HPO4", nutrient, "dipotassium hydrogen phosphate", "dibasic potassium phosphate", "potassium phosphate dibasic"),
	salt("tripotassium phosphate", "K3PO4", soda[:1], "potassium phosphate tribasic"),
	salt("disodium phosphate", "Na2HPO4", nutrient, "disodium hydrogen phosphate", "dibasic sodium phosphate", "sodium hydrogen phosphate"),
	salt("monosodium phosphate", "NaH2PO4", nutrient, "sodium dihydrogen phosphate", "monobasic sodium phosphate"),
	salt("trisodium phosphate", "Na3PO4", caustic, "sodium phosphate tribasic"),
	salt("sodium chloride", "NaCl", neutral, "table salt", "common salt", "pure salt"),
	salt("sodium sulfate", "Na2SO4", lowHazard, "anhydrous sodium sulfate"),
	salt("sodium thiosulfate pentahydrate", "Na2S2O3·5H2O", lowHazard, "sodium thiosulfate"),
	salt("boric acid", "H3BO3", boron, "boracic acid", "orthoboric acid", "B(OH)3"),
	salt("borax", "Na2B4O7·10H2O", boron, "sodium tetraborate decahydrate", "disodium tetraborate decahydrate", "sodium tetraborate"),
	salt("lanthanum chloride heptahydrate", "LaCl3·7H2O", lanthanum, "lanthanum chloride"),
	salt("hydrogen peroxide", "H2O2", peroxide, "peroxide"),
	salt("ethanol", "C2H5OH", flammable, "ethyl alcohol"),
	salt("acetic acid", "CH3COOH", vinegar),
	salt("hydrochloric acid", "HCl", acid, "muriatic acid", "hydrogen chloride"),
}
