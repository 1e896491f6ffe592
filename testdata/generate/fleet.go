package main

// fleetFile is the region's vehicles: four helicopters, twelve ambulances and
// five response cars with physicians.
func fleetFile() object {
	assets := helicopters()
	for _, a := range []struct{ id, name, base string }{
		{"amb-11", "Ambulance 11", "road-ossuvaune-harbour"},
		{"amb-12", "Ambulance 12", "road-ossuvaune-west"},
		{"amb-21", "Ambulance 21", "road-quorreth"},
		{"amb-31", "Ambulance 31", "road-velimaune"},
		{"amb-41", "Ambulance 41", "road-tharuvel"},
		{"amb-51", "Ambulance 51", "road-mauquisse"},
		{"amb-61", "Ambulance 61", "road-lorquamise"},
		{"amb-71", "Ambulance 71", "road-luorimaune"},
		{"amb-72", "Ambulance 72", "road-ettuquar"},
		{"amb-73", "Ambulance 73", "road-iquorell"},
		{"amb-74", "Ambulance 74", "road-veruthaune"},
		{"amb-81", "Ambulance 81", "road-quessimaune"},
	} {
		assets = append(assets, object{
			{"id", a.id}, {"name", a.name}, {"kind", "ambulance"}, {"base", a.base},
			{"skills", []string{"paramedic"}}, {"escort_seats", 2},
		})
	}
	for _, c := range []struct{ id, name, base string }{
		{"car-1", "Response car 1", "road-ossuvaune-west"},
		{"car-2", "Response car 2", "road-quorreth"},
		{"car-3", "Response car 3", "road-velimaune"},
		{"car-7", "Response car 7", "road-luorimaune"},
		{"car-8", "Response car 8", "road-ettuquar"},
	} {
		car := object{
			{"id", c.id}, {"name", c.name}, {"kind", "response_car"}, {"base", c.base},
			{"skills", []string{"paramedic", "physician"}}, {"escort_seats", 0},
			{"road", object{{"cruise_kmh", 105}, {"acceleration_kmh_per_min", 45}}},
		}
		if c.id == "car-3" {
			car = append(car, member{"hours", openHours("07:00", "23:00")})
		}
		assets = append(assets, car)
	}
	return object{{"assets", assets}}
}

func helicopters() []object {
	return []object{
		{
			{"id", "heli-1"}, {"name", "Helicopter 1"}, {"kind", "helicopter"}, {"base", "air-ossuvaune"},
			{"skills", []string{"paramedic", "physician"}}, {"escort_seats", 1},
			{"night_flying", true}, {"cruise_kt", 137}, {"d_value_m", 13.6}, {"mass_kg", 3700}, {"rotors_turning", false},
			{"mobilise", object{{"day", timing(420, 600)}, {"night", timing(660, 900)}}},
		},
		{ // The crew goes home at night and cannot fly in the dark anyway.
			{"id", "heli-2"}, {"name", "Helicopter 2"}, {"kind", "helicopter"}, {"base", "air-quorreth"},
			{"skills", []string{"paramedic", "physician"}}, {"escort_seats", 1}, {"hours", openHours("07:00", "20:00")},
			{"night_flying", false}, {"cruise_kt", 132}, {"d_value_m", 12.2}, {"mass_kg", 2900}, {"rotors_turning", true},
			{"mobilise", object{{"day", timing(360, 540)}, {"night", timing(660, 900)}}},
		},
		{ // Sea rescue: large, slow off the ground, too heavy for a roof.
			{"id", "heli-3"}, {"name", "Rescue helicopter 3"}, {"kind", "helicopter"}, {"base", "air-luorimaune"},
			{"skills", []string{"paramedic", "winch"}}, {"escort_seats", 4},
			{"night_flying", true}, {"cruise_kt", 150}, {"d_value_m", 16.7}, {"mass_kg", 6400}, {"rotors_turning", false},
			{"mobilise", object{{"day", timing(900, 1200)}, {"night", timing(1500, 2400)}}},
		},
		{
			{"id", "heli-4"}, {"name", "Helicopter 4"}, {"kind", "helicopter"}, {"base", "air-velimaune"},
			{"skills", []string{"paramedic"}}, {"escort_seats", 2}, {"hours", openHours("07:00", "22:00")},
			{"night_flying", false}, {"cruise_kt", 130}, {"d_value_m", 12.2}, {"mass_kg", 2900}, {"rotors_turning", true},
			{"mobilise", object{{"day", timing(420, 600)}, {"night", timing(720, 1020)}}},
		},
	}
}
