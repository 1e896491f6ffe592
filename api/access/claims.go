package access

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"
)

// claims are those of a token that are looked at.
type claims struct {
	Issuer    string   `json:"iss"`
	Subject   string   `json:"sub"`
	Username  string   `json:"preferred_username"`
	Expires   *float64 `json:"exp"` // seconds since 1970 (RFC 7519, NumericDate)
	NotBefore *float64 `json:"nbf"`
	IssuedAt  *float64 `json:"iat"`

	all map[string]any
}

func readClaims(payload []byte) (*claims, *Refusal) {
	var c claims
	if json.Unmarshal(payload, &c) != nil || json.Unmarshal(payload, &c.all) != nil {
		return nil, refuse(BadClaims, "the token's claims cannot be read: a claim that is needed is not of its type")
	}
	return &c, nil
}

// checkTimes compares in seconds as numbers, so that no time is too far away.
func (c *claims) checkTimes(now time.Time) *Refusal {
	at, skew := float64(now.Unix()), Skew.Seconds()
	switch {
	case c.Expires == nil:
		return refuse(BadClaims, "the token has no exp: one that never expires is not taken")
	case at >= *c.Expires+skew:
		return refuse(ExpiredToken, "the token has expired: sign in again")
	case c.NotBefore != nil && at < *c.NotBefore-skew:
		return refuse(NotYetValid, "the token is not valid yet: the clocks of the provider and of this service may disagree")
	case c.IssuedAt != nil && at < *c.IssuedAt-skew:
		return refuse(NotYetValid, "the token was issued in the future: the clocks of the provider and of this service may disagree")
	}
	return nil
}

// subjectForm: OpenID Connect Core, section 2: at most 255 ASCII characters.
var subjectForm = regexp.MustCompile(`^[!-~]{1,255}$`)

// name is the subject, which the provider never gives to another person, with
// the user's name, which it may, in front of it for people to read.
func (c *claims) name() (string, *Refusal) {
	if !subjectForm.MatchString(c.Subject) {
		return "", refuse(BadClaims, "the token has no sub of 1 to 255 printable characters: it says of nobody")
	}
	if nameForm.MatchString(c.Username) {
		return c.Username + " (sub:" + c.Subject + ")", nil
	}
	return "sub:" + c.Subject, nil
}

// values are the words at a claim: of a list of texts, or of a text with
// spaces, as scope has them.
func (c *claims) values(claim string) []string {
	var at any = c.all
	path := []string{claim}
	if pointer, ok := strings.CutPrefix(claim, "/"); ok {
		path = strings.Split(pointer, "/")
		for i := range path { // RFC 6901, section 4
			path[i] = strings.ReplaceAll(strings.ReplaceAll(path[i], "~1", "/"), "~0", "~")
		}
	}
	for _, name := range path {
		object, _ := at.(map[string]any)
		at = object[name]
	}
	switch v := at.(type) {
	case string:
		return strings.Fields(v)
	case []any:
		var words []string
		for _, value := range v {
			if word, ok := value.(string); ok {
				words = append(words, word)
			}
		}
		return words
	}
	return nil
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
