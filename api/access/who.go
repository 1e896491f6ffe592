package access

import "context"

// Who is behind a request.
type Who struct {
	Name string // a person, a desk or a program, as the token or the identity provider names it
	Role Role
}

// Local is who everybody is where there is no access control, because only
// this machine can ask.
var Local = Who{Name: "local", Role: Admin}

type whoKey struct{}

// With returns a context that says who is behind the request.
func With(ctx context.Context, who Who) context.Context {
	return context.WithValue(ctx, whoKey{}, who)
}

// From says who is behind the request of a context. Nobody, who may do
// nothing, where nothing was said.
func From(ctx context.Context) Who {
	who, _ := ctx.Value(whoKey{}).(Who)
	return who
}
