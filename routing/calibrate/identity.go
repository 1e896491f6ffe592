package calibrate

import (
	"slices"
	"strings"
	"unicode"
)

// identifying are words in column names under which something that tells who a
// patient is would stand. The list is by common practice, no source; the real
// protection is that only the columns of this package are accepted at all.
var identifying = []string{
	"address", "birth", "birthday", "birthdate", "casualty", "dob", "email", "firstname", "forename", "fullname",
	"gender", "insurance", "lastname", "mrn", "name", "nhs", "nin", "passport", "patient", "person", "phone",
	"postcode", "sex", "social", "ssn", "street", "surname", "telephone", "victim", "zip",
}

// looksIdentifying reports whether a column's name says that it holds who the
// patient is: one of the words in it, as written with separators or capitals.
func looksIdentifying(column string) bool {
	return slices.ContainsFunc(words(column), func(w string) bool {
		return slices.Contains(identifying, w) || strings.HasPrefix(w, "patient") || strings.HasSuffix(w, "name")
	})
}

// words splits "patientName", "patient_name" and "Patient name" alike.
func words(s string) []string {
	var b strings.Builder
	wasLower := false
	for _, r := range s {
		switch {
		case !unicode.IsLetter(r):
			r = ' '
		case unicode.IsUpper(r) && wasLower:
			b.WriteByte(' ')
		}
		wasLower = unicode.IsLower(r)
		b.WriteRune(unicode.ToLower(r))
	}
	return strings.Fields(b.String())
}
