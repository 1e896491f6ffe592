package access

// Reason is why a request is not let in. Its word is stable.
type Reason string

// The reasons.
const (
	NoCredentials Reason = "no_credentials"  // none were sent
	WrongScheme   Reason = "wrong_scheme"    // not Bearer
	Malformed     Reason = "malformed"       // not as RFC 6750 has it, or given twice
	InURL         Reason = "token_in_url"    // where logs and histories keep it
	Mistyped      Reason = "mistyped_token"  // its checksum does not hold
	UnknownToken  Reason = "unknown_token"   // not on the list
	ExpiredToken  Reason = "expired_token"   // its time is over
	RevokedToken  Reason = "revoked_token"   // taken back
	BadSignature  Reason = "bad_signature"   // or of an algorithm that is not taken, or by a key nobody knows
	WrongIssuer   Reason = "wrong_issuer"    // somebody else's
	WrongAudience Reason = "wrong_audience"  // made for another service
	NotYetValid   Reason = "not_yet_valid"   // its time has not come
	BadClaims     Reason = "bad_claims"      // a claim that is needed is missing or no text
	KeysAway      Reason = "keys_away"       // the identity provider's keys cannot be had: nobody's fault here
	RoleTooLow    Reason = "role_too_low"    // known, but not allowed that
	TooMany       Reason = "too_many"        // more than may be asked in that time
	CrossSite     Reason = "cross_site"      // a page of another site asks through somebody's browser
	WrongHost     Reason = "wrong_host_name" // a name that is not this machine's
)

// Refusal is a request that is not let in, and why. It never holds anything
// of what was sent.
type Refusal struct {
	Reason Reason
	Detail string // with the fix; plain ASCII without quotation marks
}

func (r *Refusal) Error() string { return r.Detail }

func refuse(reason Reason, detail string) *Refusal { return &Refusal{reason, detail} }
