package main

import "github.com/paulmach/orb"

// settlement is a place where people live.
type settlement struct {
	id, name string
	people   int
	place    orb.Point // plane kilometres; moved inland when the coast is drawn
}

// settlements hold some 400,000 people, falling off with rank as towns do.
var settlements = []settlement{
	// Thauvemar
	{"ossuvaune", "Ossuvaune", 95400, orb.Point{6.6, 2.4}},
	{"quorreth", "Quorreth", 43800, orb.Point{-55.6, 9.6}},
	{"velimaune", "Velimaune", 29600, orb.Point{-20, 34}},
	{"tharuvel", "Tharuvel", 18300, orb.Point{-22.5, -40}},
	{"mauquisse", "Mauquisse", 11900, orb.Point{-9.5, 7}},
	{"irquovoth", "Irquovoth", 9100, orb.Point{2.5, -15}},
	{"sauthemel", "Sauthemel", 7400, orb.Point{5.2, 13}},
	{"quenouvar", "Quenouvar", 5600, orb.Point{3.4, 35}},
	{"lorquamise", "Lorquamise", 4300, orb.Point{-50, -30}},
	{"ulvothaune", "Ulvothaune", 3700, orb.Point{-36.5, -31}},
	{"emmorquel", "Emmorquel", 2900, orb.Point{-31, 41.5}},
	{"sorvaqueth", "Sorvaqueth", 2600, orb.Point{-5, -9}},
	{"thessoliq", "Thessoliq", 2200, orb.Point{-47, 24.5}},
	{"oquelisse", "Oquelisse", 1800, orb.Point{-8, -27.5}},
	{"vethamuin", "Vethamuin", 1500, orb.Point{-19.5, 7.5}},
	{"athuolisse", "Athuolisse", 1300, orb.Point{-29, -25}},
	{"ummorel", "Ummorel", 1200, orb.Point{-64, -3}},
	{"issorquai", "Issorquai", 860, orb.Point{-53, -15.5}},
	{"rauvimor", "Rauvimor", 790, orb.Point{-60, 21}},
	{"nauvereth", "Nauvereth", 640, orb.Point{-41, -3.5}},
	{"quillomar", "Quillomar", 430, orb.Point{-1, 47}},
	// Muorque, over the short bridge
	{"muorquine", "Muorquine", 1150, orb.Point{-27.4, -47.4}},
	// Irrolune
	{"luorimaune", "Luorimaune", 58700, orb.Point{57.6, 25.8}},
	{"ettuquar", "Ettuquar", 22100, orb.Point{31, -0.5}},
	{"samorvisse", "Samorvisse", 12700, orb.Point{34.5, -6.8}},
	{"iquorell", "Iquorell", 8200, orb.Point{17, 23.5}},
	{"veruthaune", "Veruthaune", 6400, orb.Point{28.5, 49}},
	{"thoquimel", "Thoquimel", 4700, orb.Point{14.6, -3}},
	{"ossiqueth", "Ossiqueth", 3300, orb.Point{53, 3.4}},
	{"maurelquin", "Maurelquin", 2400, orb.Point{44, 40}},
	{"elvumaur", "Elvumaur", 1900, orb.Point{44, 8.5}},
	{"uvarosse", "Uvarosse", 1600, orb.Point{60, 38.5}},
	{"quethilor", "Quethilor", 1100, orb.Point{39, 21}},
	{"irrusaune", "Irrusaune", 720, orb.Point{17, 42}},
	// Quessavel
	{"quessimaune", "Quessimaune", 19200, orb.Point{35.5, -31}},
	{"thalorqueth", "Thalorqueth", 6900, orb.Point{55.5, -36}},
	{"vaumirel", "Vaumirel", 3500, orb.Point{43, -50.5}},
	{"soquevar", "Soquevar", 1900, orb.Point{20, -40}},
	{"esquorine", "Esquorine", 900, orb.Point{31.5, -45}},
	{"luthamisse", "Luthamisse", 510, orb.Point{46.5, -30}},
}

// ground returns where the settlement stands once the coast is known.
func (s settlement) ground(all []island) orb.Point {
	gap := 0.5
	if s.people < 2000 {
		gap = 0.35
	}
	return inland(s.place, nearestIsland(s.place, all).coast, gap)
}

// nearestIsland returns the island that has p or whose coast is nearest to it.
func nearestIsland(p orb.Point, all []island) island {
	if i := islandAt(p, all); i >= 0 {
		return all[i]
	}
	best := all[0]
	for _, l := range all {
		if toLine(p, l.coast) < toLine(p, best.coast) {
			best = l
		}
	}
	return best
}
