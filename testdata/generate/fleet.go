package main

// fleetFile is the region's vehicles: four helicopters, an aeroplane, twelve
// ambulances and five response cars with physicians.
func fleetFile() object {
	assets := append(helicopters(), aeroplane())
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
			{"skills", []string{"paramedic", "physician", "thoracotomy"}}, {"escort_seats", 0},
			{"road", object{{"cruise_kmh", 105}, {"acceleration_kmh_per_min", 45}}},
		}
		if c.id == "car-3" {
			car = append(car, member{"hours", openHours("07:00", "23:00")})
		}
		assets = append(assets, car)
	}
	return object{{"assets", assets}}
}
