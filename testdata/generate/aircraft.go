package main

// helicopters fly by the region's shipped minima. Endurance is flying time on
// full fuel, the final reserve included.
func helicopters() []object {
	return []object{
		{ // The one with a physician by night. Two seats, so that it can take a surgical team across.
			{"id", "heli-1"}, {"name", "Helicopter 1"}, {"kind", "helicopter"}, {"base", "air-ossuvaune"},
			{"skills", []string{"paramedic", "physician", "thoracotomy"}}, {"escort_seats", 2},
			{"night_flying", true}, {"pilots", 2}, {"night_vision", true}, {"minima", "spa_hems_120"},
			{"cruise_kt", 137}, {"d_value_m", 13.6}, {"mass_kg", 3700}, {"endurance_s", 9000}, {"rotors_turning", false},
			{"mobilise", object{{"day", timing(420, 600)}, {"night", timing(660, 900)}}},
		},
		{ // The crew goes home at night and cannot fly in the dark anyway.
			{"id", "heli-2"}, {"name", "Helicopter 2"}, {"kind", "helicopter"}, {"base", "air-quorreth"},
			{"skills", []string{"paramedic", "physician", "thoracotomy"}}, {"escort_seats", 1}, {"hours", openHours("07:00", "20:00")},
			{"night_flying", false}, {"pilots", 1}, {"minima", "spa_hems_120"},
			{"cruise_kt", 132}, {"d_value_m", 12.2}, {"mass_kg", 2900}, {"endurance_s", 8100}, {"rotors_turning", true},
			{"mobilise", object{{"day", timing(360, 540)}, {"night", timing(660, 900)}}},
		},
		{ // Sea rescue: large, slow off the ground, too heavy for a roof.
			{"id", "heli-3"}, {"name", "Rescue helicopter 3"}, {"kind", "helicopter"}, {"base", "air-luorimaune"},
			{"skills", []string{"paramedic", "winch"}}, {"escort_seats", 4},
			{"night_flying", true}, {"pilots", 2}, {"night_vision", true}, {"minima", "spa_hems_120"}, {"icing_cleared", true},
			{"cruise_kt", 150}, {"d_value_m", 16.7}, {"mass_kg", 6400}, {"endurance_s", 10800}, {"hot_refuel", true},
			{"rotors_turning", false},
			{"mobilise", object{{"day", timing(900, 1200)}, {"night", timing(1500, 2400)}}},
		},
		{
			{"id", "heli-4"}, {"name", "Helicopter 4"}, {"kind", "helicopter"}, {"base", "air-velimaune"},
			{"skills", []string{"paramedic"}}, {"escort_seats", 2}, {"hours", openHours("07:00", "22:00")},
			{"night_flying", false}, {"pilots", 1}, {"minima", "spa_hems_120"},
			{"cruise_kt", 130}, {"d_value_m", 12.2}, {"mass_kg", 2900}, {"endurance_s", 8400}, {"rotors_turning", true},
			{"mobilise", object{{"day", timing(420, 600)}, {"night", timing(720, 1020)}}},
		},
	}
}

// aeroplane is a single turboprop that flies on instruments, so that it gets
// off in weather that keeps the helicopters on the ground, and is content with
// the shortest runway of the region. Its crew keeps the hours of its airfield.
func aeroplane() object {
	return object{
		{"id", "aero-5"}, {"name", "Aeroplane 5"}, {"kind", "aeroplane"}, {"base", "quorreth-airfield"},
		{"skills", []string{"nurse", "physician"}}, {"escort_seats", 2}, {"hours", openHours("06:00", "22:00")},
		{"night_flying", true}, {"pilots", 2}, {"minima", instrumentMinima}, {"icing_cleared", true},
		{"cruise_kt", 230}, {"runway_m", 780}, {"mass_kg", 4500}, {"endurance_s", 14400},
		{"mobilise", object{{"day", timing(1500, 2100)}, {"night", timing(2400, 3300)}}},
	}
}

const instrumentMinima = "quovarel_instrument"
