package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"surgeonward/api/access"
)

// tokenCommand keeps the list of who may use a service.
type tokenCommand struct {
	Create tokenCreate `cmd:"" help:"Make a token and show it, once."`
	List   tokenList   `cmd:"" help:"List the tokens: who holds them, what they may do, until when."`
	Revoke tokenRevoke `cmd:"" help:"End a token by its id, or all tokens of a name. A running service follows within a second."`
}

// tokenFile is the flag all of them have.
type tokenFile struct {
	Tokens string `help:"The token file (or SURGEONWARD_TOKENS)." placeholder:"FILE"`
}

func (f tokenFile) path() (string, error) {
	if f.Tokens == "" {
		return "", usageError{errors.New("--tokens: say which token file, here or in SURGEONWARD_TOKENS")}
	}
	return f.Tokens, nil
}

type tokenCreate struct {
	tokenFile `embed:""`
	Name      string `help:"Who will hold it: a person, a desk or a program. Edits are recorded under this name." required:"" placeholder:"NAME"`
	Role      string `help:"What they may do: reader (ask and read), desk (also change states), editor (also change lists), admin." required:"" placeholder:"ROLE"`
	Expires   string `help:"In how long it ends, such as 90d or 12h; or never (default: 90d)." default:"90d" placeholder:"TIME"`
}

// Run prints the token alone to standard output, so that it can be piped to
// where it is needed without being seen.
func (c *tokenCreate) Run(p *program) error {
	path, err := c.path()
	if err != nil {
		return err
	}
	now := time.Now()
	role, roleErr := access.ParseRole(c.Role)
	expires, expiresErr := expiry(c.Expires, now)
	if err := errors.Join(flagError("--name", access.CheckName(c.Name)), flagError("--role", roleErr), flagError("--expires", expiresErr)); err != nil {
		return usageError{err}
	}
	text, token, err := access.Create(path, c.Name, role, expires, now)
	if err != nil {
		return err
	}
	fmt.Fprintln(p.stdout, text)
	fmt.Fprintf(p.stderr, "surgeonward: token %s for %s, role %s, expires %s; it is shown this once and kept nowhere\n",
		token.ID, token.Name, token.Role, when(token.Expires))
	return nil
}

func flagError(flag string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", flag, err)
}

// expiry reads 90d, 12h30m or never.
func expiry(text string, now time.Time) (time.Time, error) {
	if text == "never" {
		return time.Time{}, nil
	}
	const longest = 3650 // days
	if days, ok := strings.CutSuffix(text, "d"); ok {
		n, err := strconv.Atoi(days)
		if err == nil && n >= 1 && n <= longest {
			return now.AddDate(0, 0, n), nil
		}
	} else if d, err := time.ParseDuration(text); err == nil && d > 0 && d <= longest*24*time.Hour {
		return now.Add(d), nil
	}
	return time.Time{}, fmt.Errorf("%q: write days or hours such as 90d or 12h, up to %dd, or never", text, longest)
}

func when(t time.Time) string {
	if t.IsZero() {
		return "never"
	}
	return t.UTC().Format("2006-01-02 15:04 UTC")
}

type tokenList struct {
	tokenFile `embed:""`
}

// Run prints what is known of each token, which is never its text.
func (c *tokenList) Run(p *program) error {
	path, err := c.path()
	if err != nil {
		return err
	}
	tokens, err := access.ReadTokens(path)
	if err != nil {
		return err
	}
	w := tabwriter.NewWriter(p.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "id\tname\trole\tstate\tmade\texpires\trevoked")
	now := time.Now()
	for _, t := range tokens {
		revoked := "-"
		if !t.Revoked.IsZero() {
			revoked = when(t.Revoked)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", t.ID, t.Name, t.Role, t.State(now), when(t.Created), when(t.Expires), revoked)
	}
	return w.Flush()
}

type tokenRevoke struct {
	tokenFile `embed:""`
	Which     string `arg:"" name:"id-or-name" help:"The id or name that surgeonward token list shows."`
}

// Run says which tokens it ended.
func (c *tokenRevoke) Run(p *program) error {
	path, err := c.path()
	if err != nil {
		return err
	}
	ended, err := access.Revoke(path, c.Which, time.Now())
	if err != nil {
		return err
	}
	for _, t := range ended {
		fmt.Fprintf(p.stdout, "revoked %s of %s, role %s\n", t.ID, t.Name, t.Role)
	}
	return nil
}
