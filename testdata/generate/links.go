package main

import "github.com/paulmach/orb"

// link is a main road to be built between two named nodes: settlements,
// airfields, the ends of bridges, or quays. Later links join the roads of earlier ones where
// they run the same way.
type link struct {
	from, to string
	name     string
	class    string // "main" or "secondary"
}

var links = []link{
	// Thauvemar: the east coast, both ways round the mountains, and the pass.
	{"ossuvaune", "sauthemel", "Strait road", "main"},
	{"sauthemel", "narrows-west", "Strait road", "main"},
	{"ossuvaune", "mauquisse", "Middle road", "main"},
	{"mauquisse", "vethamuin", "Middle road", "main"},
	{"vethamuin", "pass-east", "Pass road", "secondary"},
	{"pass-west", "nauvereth", "Pass road", "secondary"},
	{"nauvereth", "quorreth", "Pass road", "secondary"},
	{"mauquisse", "velimaune", "North road", "main"},
	{"velimaune", "thessoliq", "North-west road", "main"},
	{"thessoliq", "quorreth", "North-west road", "main"},
	{"ossuvaune", "irquovoth", "South road", "main"},
	{"irquovoth", "oquelisse", "South road", "main"},
	{"oquelisse", "tharuvel", "South road", "main"},
	{"tharuvel", "ulvothaune", "South road", "main"},
	{"ulvothaune", "lorquamise", "South-west road", "main"},
	{"lorquamise", "issorquai", "South-west road", "main"},
	{"issorquai", "quorreth", "South-west road", "main"},
	{"narrows-west", "quenouvar", "Strait road", "secondary"},
	{"quenouvar", "quillomar", "Strait road", "secondary"},
	{"quenouvar", "velimaune", "North-east road", "secondary"},
	{"velimaune", "emmorquel", "Emmorquel road", "secondary"},
	{"quorreth", "rauvimor", "Rauvimor road", "secondary"},
	{"rauvimor", "thessoliq", "Rauvimor road", "secondary"},
	{"issorquai", "ummorel", "Ummorel road", "secondary"},
	{"ummorel", "quorreth", "Ummorel road", "secondary"},
	{"ulvothaune", "athuolisse", "Athuolisse road", "secondary"},
	{"athuolisse", "oquelisse", "Athuolisse road", "secondary"},
	{"sorvaqueth", "ossuvaune", "Sorvaqueth road", "secondary"},
	{"sorvaqueth", "irquovoth", "Sorvaqueth road", "secondary"},
	{"tharuvel", "muorque-north", "Muorque road", "secondary"},
	{"muorque-south", "muorquine", "Muorque road", "secondary"},
	{"ossuvaune-airfield", "ossuvaune", "Airfield road", "secondary"},
	{"quorreth-airfield", "quorreth", "Airfield road", "secondary"},
	// Irrolune
	{"narrows-east", "iquorell", "Strait road", "main"},
	{"iquorell", "ettuquar", "Ettuquar road", "main"},
	{"ettuquar", "samorvisse", "Ettuquar road", "main"},
	{"iquorell", "luorimaune", "East road", "main"},
	{"ettuquar", "elvumaur", "Elvumaur road", "main"},
	{"elvumaur", "luorimaune", "Elvumaur road", "main"},
	{"elvumaur", "ossiqueth", "Ossiqueth road", "secondary"},
	{"ettuquar", "thoquimel", "Thoquimel road", "main"},
	{"thoquimel", "iquorell", "Thoquimel road", "secondary"},
	{"elvumaur", "quethilor", "Quethilor road", "secondary"},
	{"iquorell", "irrusaune", "North coast road", "secondary"},
	{"irrusaune", "veruthaune", "North coast road", "secondary"},
	{"veruthaune", "maurelquin", "North coast road", "secondary"},
	{"maurelquin", "uvarosse", "North coast road", "secondary"},
	{"uvarosse", "luorimaune", "North coast road", "secondary"},
	{"samorvisse", "ferry-north", "Quay road", "main"},
	{"luorimaune-airfield", "luorimaune", "Airfield road", "secondary"},
	// Quessavel
	{"ferry-south", "quessimaune", "Quay road", "main"},
	{"quessimaune", "luthamisse", "Thalorqueth road", "main"},
	{"luthamisse", "thalorqueth", "Thalorqueth road", "main"},
	{"quessavel-airstrip", "quessimaune", "Airstrip road", "secondary"},
	{"quessimaune", "esquorine", "Vaumirel road", "secondary"},
	{"esquorine", "vaumirel", "Vaumirel road", "secondary"},
	{"vaumirel", "thalorqueth", "Vaumirel road", "secondary"},
	{"esquorine", "soquevar", "Soquevar road", "secondary"},
	{"soquevar", "quessimaune", "Soquevar road", "secondary"},
}

// span is a crossing: its ends stand on land at nearly the named places.
type span struct {
	id, name string
	kind     string // "bridge", "ferry" or "pass"
	from, to string // node names of its ends
	a, b     orb.Point
}

var spans = []span{
	{"narrows-bridge", "Iquorell Narrows bridge", "bridge", "narrows-west", "narrows-east", orb.Point{10, 22.3}, orb.Point{14.6, 21.8}},
	{"muorque-bridge", "Muorque bridge", "bridge", "muorque-north", "muorque-south", orb.Point{-26, -42}, orb.Point{-26.4, -46.2}},
	{"sound-ferry", "Quessimaune ferry", "ferry", "ferry-north", "ferry-south", orb.Point{34, -8.5}, orb.Point{35, -29.5}},
	{"thauvemar-pass", "Vethamuin pass", "pass", "pass-west", "pass-east", orb.Point{-31.2, -0.2}, orb.Point{-28.8, 2.2}},
}
