// Package busy says what share of the time each unit of a fleet is out on a call, and
// how often each place is served by which unit, from the calls that come and the order
// in which units are sent.
//
// Calls come by themselves (Poisson), last for exponential times, take one unit each, and
// get the first unit of their place's order that is free. When none is, they are lost
// to others or wait in one line.
//
// Exact is the hypercube queueing model of Larson 1974 (Computers & Operations Research
// 1(1):67-95), which has one state for each set of busy units. Approximate is the
// approximation of Larson 1975 (Operations Research 23(5):845-868, doi:10.1287/opre.23.5.845)
// with the treatment of service times of Jarvis 1985 (Management Science 31(2):235-239).
// Larson & Odoni 1981, Urban Operations Research, section 5.5, give its error as 1 or 2
// percent.
//
// The shares are for planning. They are as good as the demand, and they leave out what is
// not Poisson: one disaster with many calls, maintenance, crew rest.
package busy
