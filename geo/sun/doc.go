// Package sun computes where the Sun is and when it is night.
//
// Positions follow J. Meeus, Astronomical Algorithms, 2nd edition, chapter 25
// (low accuracy) and chapter 12 (sidereal time). The Sun's position is good to
// 0.01 degree; rising, setting and twilight are good to a few seconds below 60
// degrees of latitude and to about 13 seconds up to 78 degrees. The error grows
// without bound where the Sun grazes the horizon and, within a fraction of a
// degree of the poles, where it circles almost level.
//
// Heights are geometric: the Sun's centre above the plane horizon at sea level,
// without refraction, parallax (at most 0.0024 degree) or the observer's own
// height. The difference between UTC and UT1 (under 0.9 s) and between UT and
// terrestrial time (about 70 s now, worth 0.001 degree of the Sun's path) is
// neglected.
//
// The formulas are meant for the years 1900 to 2100. Outside them answers stay
// finite and lose accuracy slowly. Dates are proleptic Gregorian, as in package
// time.
//
// Points are longitude, latitude in degrees. A latitude outside -90 to 90 or a
// coordinate that is not finite has no altitude: Altitude is then NaN, IsNight
// says night, as the stricter of the two, and there are no events.
package sun
