package main

var hospitals = []site{
	{"ossuvaune-general", "Ossuvaune General Hospital", "ossuvaune", -2.0, 0.9, object{
		{"capabilities", []string{"emergency_department", "trauma_surgery", "cardiothoracic_surgery",
			"cardiopulmonary_bypass", "perfusionist", "neurosurgery", "interventional_radiology", "intensive_care", "blood_bank",
			"obstetrics"}},
		// Surgeon and theatre team are in the house in office hours only.
		{"surgeons", object{{"cardiothoracic_surgery", object{
			{"otherwise", onCall(1740, 2400)},
			{"weekly", []object{window(weekdays, "07:30", "18:00", residents)}},
			{"exceptions", []object{append(object{{"date", "2031-05-01"}}, onCall(1740, 2400)...)}},
		}}}},
		{"theatre", object{
			{"otherwise", ready(1500, 2100)},
			{"weekly", []object{window(weekdays, "07:30", "18:00", ready(600, 900))}},
		}},
		{"handover", timing(180, 300)},
		{"pad", padAway{1.1, -0.7, object{{"to_door", timing(480, 780)}, {"vehicle_needed", true},
			{"shuttle_call", timing(420, 720)}, {"lit", true},
			{"max_d_value_m", 20}, {"max_mass_kg", 9000}}}},
	}},
	{"ettuquar-chest", "Ettuquar Heart and Chest Hospital", "ettuquar", -0.7, 0.5, object{
		{"capabilities", []string{"emergency_department", "trauma_surgery", "cardiothoracic_surgery",
			"cardiopulmonary_bypass", "ecmo", "perfusionist", "interventional_radiology", "intensive_care", "blood_bank"}},
		{"surgeons", object{{"cardiothoracic_surgery", always(residents)}}},
		{"theatre", always(ready(600, 900))},
		{"handover", timing(180, 300)},
		// A roof pad: quick to the door, too small and too weak for the largest aircraft.
		{"pad", object{{"to_door", timing(180, 270)}, {"vehicle_needed", false}, {"lit", true},
			{"max_d_value_m", 15}, {"max_mass_kg", 5000}}},
	}},
	{"luorimaune-childrens", "Luorimaune Children's Hospital", "luorimaune", -0.8, 1.1, object{
		{"capabilities", []string{"paediatric_emergency_department", "paediatric_trauma_surgery",
			"paediatric_cardiothoracic_surgery", "cardiopulmonary_bypass", "ecmo", "perfusionist", "paediatric_intensive_care",
			"blood_bank"}},
		{"surgeons", object{{"paediatric_cardiothoracic_surgery", object{
			{"otherwise", onCall(1200, 1800)},
			{"weekly", []object{window(weekdays, "07:00", "19:00", residents)}},
		}}}},
		{"theatre", object{
			{"otherwise", ready(1500, 2100)},
			{"weekly", []object{window(weekdays, "07:00", "19:00", ready(600, 900))}},
		}},
		{"pad", padAway{-0.25, 0.15, object{{"to_door", timing(300, 420)}, {"vehicle_needed", false}, {"lit", true},
			{"max_d_value_m", 18}, {"max_mass_kg", 8000}}}},
	}},
	{"luorimaune-general", "Luorimaune General Hospital", "luorimaune", 0.4, -0.6, object{
		{"capabilities", []string{"emergency_department", "trauma_surgery", "neurosurgery", "burns",
			"interventional_radiology", "intensive_care", "blood_bank", "obstetrics"}},
		{"pad", object{{"to_door", timing(180, 300)}, {"vehicle_needed", false}, {"lit", true},
			{"max_d_value_m", 18}, {"max_mass_kg", 8000}}},
	}},
	{"quorreth-hospital", "Quorreth Hospital", "quorreth", 0.8, -0.4, object{
		{"capabilities", []string{"emergency_department", "trauma_surgery", "intensive_care", "blood_bank",
			"obstetrics"}},
		{"pad", object{{"to_door", timing(150, 240)}, {"vehicle_needed", false}, {"lit", false},
			{"max_d_value_m", 18}, {"max_mass_kg", 7000}}},
	}},
	{"velimaune-hospital", "Velimaune Hospital", "velimaune", 0.5, -0.7, object{
		{"capabilities", []string{"emergency_department", "intensive_care", "blood_bank", "obstetrics"}},
		{"pad", object{{"to_door", timing(180, 300)}, {"vehicle_needed", false}, {"lit", true},
			{"hours", openHours("06:00", "22:00")}, {"max_d_value_m", 15}, {"max_mass_kg", 6000}}},
	}},
	{"tharuvel-hospital", "Tharuvel Hospital", "tharuvel", 0.3, 0.5, object{
		{"capabilities", []string{"emergency_department", "trauma_surgery", "intensive_care", "blood_bank",
			"obstetrics"}},
	}},
	{"samorvisse-infirmary", "Samorvisse Infirmary", "samorvisse", -0.3, 0.4, object{
		{"capabilities", []string{"emergency_department"}},
		{"accepting", object{{"state", "divert"}, {"reason", "wards being rewired"}, {"until", "2031-02-28T12:00:00Z"}}},
	}},
	{"quessimaune-hospital", "Quessimaune Hospital", "quessimaune", 0.4, -0.4, object{
		// The island's only theatre: the sound lies between it and every surgeon who opens the chest.
		{"capabilities", []string{"emergency_department", "trauma_surgery", "intensive_care", "blood_bank",
			"obstetrics", "visiting_surgical_team"}},
		{"theatre", always(ready(1200, 1800))},
		{"pad", object{{"to_door", timing(180, 300)}, {"vehicle_needed", false}, {"lit", true}, {"fuel", true},
			{"max_d_value_m", 17}, {"max_mass_kg", 7000}}},
	}},
}
