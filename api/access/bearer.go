package access

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
)

// maxBearer bounds a token; those of identity providers are a kilobyte or two.
const maxBearer = 8 << 10

// bearerForm is b64token of RFC 6750, section 2.1.
var bearerForm = regexp.MustCompile(`^[A-Za-z0-9._~+/-]+=*$`)

// bearer reads the token from the Authorization header: the one place where
// tokens are taken.
func bearer(r *http.Request) (string, *Refusal) {
	headers := r.Header.Values("Authorization")
	switch len(headers) {
	case 0:
		return "", refuse(NoCredentials, "say who asks: send the header Authorization: Bearer and a token")
	case 1:
	default:
		return "", refuse(Malformed, "there is more than one Authorization header: send one")
	}
	scheme, token, _ := strings.Cut(headers[0], " ")
	token = strings.TrimLeft(token, " ")
	switch {
	case !strings.EqualFold(scheme, "Bearer"):
		return "", refuse(WrongScheme, "the only scheme taken is Bearer: send Authorization: Bearer and a token")
	case len(token) > maxBearer:
		return "", refuse(Malformed, "the token is longer than any token is")
	case !bearerForm.MatchString(token):
		return "", refuse(Malformed, "after Bearer comes one space and the token, without anything else")
	}
	return token, nil
}

// FindInURL refuses a request that has a token in its URL, where proxies, logs
// and browser histories keep it.
func FindInURL(u *url.URL) error {
	query, err := url.QueryUnescape(u.RawQuery)
	if err != nil {
		query = u.RawQuery
	}
	named := strings.Contains(strings.ToLower("&"+query), "&access_token=")
	if named || looksLike.MatchString(query) || looksLike.MatchString(u.Path) {
		return refuse(InURL, "there is a token in the URL, where logs and histories keep it: revoke it, "+
			"and send a new one in the header Authorization: Bearer")
	}
	return nil
}
