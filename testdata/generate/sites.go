package main

var airfields = []site{
	{"ossuvaune-airfield", "Ossuvaune airfield", "ossuvaune", -5.2, -3.4,
		ground("lit road fuel", 0, 0, object{{"runway_m", 2100}})},
	{"quorreth-airfield", "Quorreth airfield", "quorreth", 3.6, -3.2,
		ground("lit road fuel", 0, 0, object{{"hours", openHours("06:00", "22:00")}, {"runway_m", 1250}})},
	{"luorimaune-airfield", "Luorimaune airfield", "luorimaune", -3.4, -2.6,
		ground("lit road fuel", 0, 0, object{{"runway_m", 1600}})},
	{"quessavel-airstrip", "Quessavel airstrip", "quessimaune", 4.8, -2.6,
		ground("road", 0, 0, object{{"hours", openHours("07:00", "19:00")}, {"runway_m", 800}})},
}

var bases = []site{
	{"air-ossuvaune", "Ossuvaune helicopter base", "ossuvaune", -5.0, -3.1, object{{"fuel", true}}},
	{"air-quorreth", "Quorreth helicopter base", "quorreth", 3.4, -3.0, object{{"fuel", true}}},
	{"air-luorimaune", "Luorimaune helicopter base", "luorimaune", -2.6, -1.9, object{{"fuel", true}}},
	{"air-velimaune", "Velimaune helicopter base", "velimaune", 1.8, -1.4, object{{"fuel", true}}},
	{"road-ossuvaune-harbour", "Ossuvaune harbour station", "ossuvaune", 0.5, -0.6, nil},
	{"road-ossuvaune-west", "Ossuvaune west station", "ossuvaune", -3.1, 0.1, nil},
	{"road-quorreth", "Quorreth station", "quorreth", 0.5, 0.3, nil},
	{"road-velimaune", "Velimaune station", "velimaune", 0.2, -0.4, nil},
	{"road-tharuvel", "Tharuvel station", "tharuvel", -0.2, 0.3, nil},
	{"road-mauquisse", "Mauquisse station", "mauquisse", 0.3, 0.1, nil},
	{"road-lorquamise", "Lorquamise station", "lorquamise", 0.2, 0.2, nil},
	{"road-luorimaune", "Luorimaune station", "luorimaune", -0.3, 0.2, nil},
	{"road-ettuquar", "Ettuquar station", "ettuquar", 0.3, 0.2, nil},
	{"road-iquorell", "Iquorell station", "iquorell", 0.2, -0.2, nil},
	{"road-veruthaune", "Veruthaune station", "veruthaune", 0.1, -0.2, nil},
	{"road-quessimaune", "Quessimaune station", "quessimaune", -0.3, -0.2, nil},
}

var landingSites = []site{
	{"ls-ossuvaune-quay", "Ossuvaune container quay", "ossuvaune", 0.9, -1.5, ground("lit road", 20, 10000, nil)},
	{"ls-ossuvaune-fields", "Ossuvaune playing fields", "ossuvaune", -1.2, 2.6, ground("road", 16, 6000, nil)},
	{"ls-sauthemel", "Sauthemel school field", "sauthemel", 0.4, 0.3, ground("road", 15, 5000, nil)},
	{"ls-narrows-west", "Narrows bridge west bank", "narrows-west", -0.5, 0.3, ground("lit road", 16, 6000, nil)},
	{"ls-quenouvar", "Quenouvar sports ground", "quenouvar", -0.5, 0.2, ground("road", 16, 6000, nil)},
	{"ls-quillomar-light", "Quillomar light", "quillomar", 1.5, 4.2, ground("", 14, 4000, nil)},
	{"ls-emmorquel", "Emmorquel quarry", "emmorquel", 1.1, -1.6, ground("road", 20, 9000, object{{"hours", openHours("06:00", "20:00")}})},
	{"ls-thessoliq", "Thessoliq slip", "thessoliq", 0.3, -0.2, ground("road", 15, 5000, nil)},
	{"ls-rauvimor", "Rauvimor common", "rauvimor", 0.5, 0.1, ground("road", 14, 4000, nil)},
	{"ls-nauvereth", "Nauvereth meadow", "nauvereth", -0.4, 0.2, ground("road", 15, 5000, nil)},
	{"ls-pass-hut", "Vethamuin pass hut", "pass-east", 0.5, 0.6, ground("road", 13, 3800, nil)},
	{"ls-mauquisse", "Mauquisse showground", "mauquisse", -0.8, -0.5, ground("lit road", 18, 8000, nil)},
	{"ls-irquovoth", "Irquovoth sports ground", "irquovoth", -0.6, 0.3, ground("lit road", 16, 6000, object{{"hours", openHours("07:00", "22:30")}})},
	{"ls-oquelisse", "Oquelisse beach head", "oquelisse", 0.3, -0.4, ground("road", 14, 4000, nil)},
	{"ls-tharuvel", "Tharuvel stadium", "tharuvel", 0.6, 0.9, ground("lit road", 18, 8000, nil)},
	{"ls-muorquine", "Muorquine green", "muorquine", 0.2, 0.2, ground("road", 14, 4000, nil)},
	{"ls-lorquamise", "Lorquamise racecourse", "lorquamise", 1.2, 0.6, ground("lit road", 20, 9000, nil)},
	{"ls-issorquai", "Issorquai school field", "issorquai", 0.3, 0.2, ground("road", 15, 5000, nil)},
	{"ls-iquorell", "Iquorell depot", "iquorell", 0.8, -0.3, ground("lit road", 18, 8000, nil)},
	{"ls-thoquimel", "Thoquimel sports ground", "thoquimel", 0.6, 0.3, ground("road", 15, 5000, nil)},
	{"ls-samorvisse", "Samorvisse ferry yard", "samorvisse", 0.3, -0.5, ground("lit road", 16, 6000, nil)},
	{"ls-veruthaune", "Veruthaune sports ground", "veruthaune", -0.4, -0.4, ground("road", 16, 6000, nil)},
	{"ls-thalorqueth", "Thalorqueth fish quay", "thalorqueth", 0.5, 0.2, ground("lit road", 16, 6000, nil)},
	{"ls-vaumirel", "Vaumirel common", "vaumirel", -0.4, 0.4, ground("road", 15, 5000, nil)},
}

// ground states what can land at a site: flags is a list of "lit", "road" and
// "fuel"; a limit of 0 is not stated.
func ground(flags string, maxDValueM, maxMassKg int, more object) object {
	out := object{
		{"lit", has(flags, "lit")}, {"road_access", has(flags, "road")}, {"fuel", has(flags, "fuel")},
	}
	if maxDValueM > 0 {
		out = append(out, member{"max_d_value_m", maxDValueM}, member{"max_mass_kg", maxMassKg})
	}
	return append(out, more...)
}
