package basemap

import (
	"errors"
	"fmt"
	"net/url"
	"regexp"
	"strings"
)

// maxAddress is how many bytes a tile address may have.
const maxAddress = 2000

// host is a name or address with or without a port, in letters that mean nothing in
// a content policy, into which it goes.
var host = regexp.MustCompile(`^([A-Za-z0-9]([A-Za-z0-9.-]*[A-Za-z0-9])?|\[[0-9A-Fa-f:.]+\])(:[0-9]{1,5})?$`)

var (
	placeholder = regexp.MustCompile(`\{[^{}]*\}`)
	visible     = regexp.MustCompile(`^[!-~]+$`)
)

// CheckTileURL says what is wrong with a template of tile addresses: http or https,
// a host of its own, and {z}, {x} and {y} once each in its path or query; {-y} counts
// from the south, as TMS does.
func CheckTileURL(template string) error {
	if len(template) > maxAddress || !visible.MatchString(template) {
		return fmt.Errorf("must be an address of at most %d letters without spaces", maxAddress)
	}
	u, err := url.Parse(template)
	if err != nil {
		return errors.New("is not an address: write it as https://tiles.example/{z}/{x}/{y}.png")
	}
	switch {
	case u.Scheme != "http" && u.Scheme != "https":
		return errors.New("must begin with https:// or http://")
	case u.User != nil:
		return errors.New("must not hold a user or password: every browser is told the address")
	case !host.MatchString(u.Host):
		return fmt.Errorf("has the host %q, which is no name or address", u.Host)
	case u.Fragment != "":
		return errors.New("must not have a part after #")
	}
	rest := strings.TrimPrefix(template, u.Scheme+"://"+u.Host)
	count := map[string]int{}
	for _, p := range placeholder.FindAllString(rest, -1) {
		count[p]++
	}
	y := count["{y}"] + count["{-y}"]
	if count["{z}"] != 1 || count["{x}"] != 1 || y != 1 || len(count) != 3 {
		return errors.New("must have {z}, {x} and {y} once each, and nothing else in braces")
	}
	return nil
}

// Origin is the scheme, host and port of a template that CheckTileURL takes, as a
// content policy names them; empty for anything else.
func Origin(template string) string {
	if CheckTileURL(template) != nil {
		return ""
	}
	u, err := url.Parse(template)
	if err != nil { // it was read just now
		return ""
	}
	return u.Scheme + "://" + strings.ToLower(u.Host)
}
