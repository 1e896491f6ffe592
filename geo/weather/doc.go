// Package weather reads the text of aerodrome reports (METAR, SPECI) and
// aerodrome forecasts (TAF), and says what they mean for a flight: wind,
// visibility, ceiling, hazards, and what is forecast for an instant.
//
// It follows ICAO Annex 3 and the United States forms of the FAA Aeronautical
// Information Manual, chapter 7. Three rules hold throughout:
//
//   - A group that cannot be read is reported in Unread and never guessed.
//   - What is missing or unread is unknown, and unknown is never clear.
//   - Remarks are kept as text and not decoded.
//
// The hazards (Thunderstorm, Freezing, Icing and so on) are read from messages about
// the surface. False means that no group that was read says so. It does not mean
// that the hazard is absent aloft, between aerodromes, after the time of the message,
// or in a group listed in Unread or with WeatherMissing set.
//
// Units are metres, metres per second, degrees Celsius and hectopascals; wind
// directions are true degrees, from which the wind blows. Reports give the day of
// the month and the time only; the month comes from a reference time that the
// caller supplies, and the nearest date to it that fits is taken.
//
// Values are read as printed, so their error is the rounding of the code: wind to
// 10 degrees and 1 knot, cloud base to 100 ft, temperature to 1 degree. A report
// holds for the aerodrome at its time; it is evidence, not proof, of the weather
// anywhere else.
package weather
