package access

import (
	"context"
	"crypto/rsa"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"

	"github.com/coreos/go-oidc/v3/oidc"
	"github.com/go-jose/go-jose/v4"
)

// How long the provider's keys are kept.
const (
	keysFresh   = 5 * time.Minute  // then they are fetched again, while those there are still serve
	keysKept    = 24 * time.Hour   // with the provider away: then they are no longer trusted
	fetchPause  = 10 * time.Second // between attempts, whatever unknown keys are asked for
	fetchTime   = 5 * time.Second  // for one attempt
	maxKeys     = 100
	maxDocument = 1 << 20 // bytes of a document of the provider
	minRSABits  = 2048    // NIST SP 800-57 part 1: less is below 112 bits of strength
)

var errAway = errors.New("the identity provider's keys cannot be had")

// keys are a provider's public keys, kept while it is away.
type keys struct {
	issuer string
	now    func() time.Time
	failed func(error)
	client *http.Client

	fetching sync.Mutex // held during an attempt

	mu      sync.Mutex // guards what follows
	set     []jose.JSONWebKey
	fetched time.Time // of the last success
	tried   time.Time // of the last attempt
	away    bool      // the last attempt failed
}

func newKeys(issuer string, now func() time.Time, failed func(error)) *keys {
	return &keys{issuer: issuer, now: now, failed: failed, client: providerClient()}
}

// VerifySignature checks the signature with the provider's key and returns the
// token's content. It leaves its verdict in the context.
func (k *keys) VerifySignature(ctx context.Context, token string) ([]byte, error) {
	v, _ := ctx.Value(verdictKey{}).(*verdict)
	if v == nil {
		return nil, errors.New("the context has no place for a verdict")
	}
	v.payload, v.refusal = k.verify(token)
	if v.refusal != nil {
		return nil, v.refusal
	}
	return v.payload, nil
}

func (k *keys) verify(token string) ([]byte, *Refusal) {
	var taken []jose.SignatureAlgorithm
	for _, a := range algorithms {
		taken = append(taken, jose.SignatureAlgorithm(a))
	}
	signed, err := jose.ParseSignedCompact(token, taken)
	if err != nil || len(signed.Signatures) != 1 {
		return nil, refuse(BadSignature, "the token is no signed JWT, or its algorithm is not one that is taken here")
	}
	header := signed.Signatures[0].Protected
	key, err := k.find(header.KeyID)
	switch {
	case errors.Is(err, errAway):
		return nil, refuse(KeysAway, "the identity provider cannot be reached, so its tokens cannot be checked: try again shortly")
	case err != nil:
		return nil, refuse(BadSignature, "the token is signed with a key that its issuer does not publish")
	case key.Algorithm != "" && key.Algorithm != header.Algorithm:
		return nil, refuse(BadSignature, "the token's algorithm is not that of its key")
	}
	payload, err := signed.Verify(key.Key)
	if err != nil {
		return nil, refuse(BadSignature, "the token's signature does not hold")
	}
	return payload, nil
}

// find is the key of an id, which may be left out where there is one key only
// (OpenID Connect Core, section 10.1).
func (k *keys) find(id string) (jose.JSONWebKey, error) {
	set, age, known := k.current()
	switch {
	case !known || age > keysKept:
		k.refresh(true)
	case age > keysFresh:
		k.refreshSoon()
	}
	if key, ok := pick(set, id); ok && age <= keysKept {
		return key, nil
	}
	k.refresh(false) // a key that has come since, perhaps
	set, age, known = k.current()
	if !known || age > keysKept {
		return jose.JSONWebKey{}, errAway
	}
	if key, ok := pick(set, id); ok {
		return key, nil
	}
	return jose.JSONWebKey{}, errors.New("no such key")
}

func pick(set []jose.JSONWebKey, id string) (jose.JSONWebKey, bool) {
	if id == "" && len(set) == 1 {
		return set[0], true
	}
	for _, key := range set {
		if id != "" && key.KeyID == id {
			return key, true
		}
	}
	return jose.JSONWebKey{}, false
}

func (k *keys) current() (set []jose.JSONWebKey, age time.Duration, known bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.set, k.now().Sub(k.fetched), !k.fetched.IsZero()
}

// refreshSoon fetches beside the requests, which have the keys they need.
func (k *keys) refreshSoon() {
	if k.due() {
		go k.refresh(false)
	}
}

func (k *keys) due() bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.tried.IsZero() || k.now().Sub(k.tried) >= fetchPause
}

// refresh fetches the keys, unless that was tried a moment ago. With wait it
// waits for an attempt that is under way, because nothing can be done without.
func (k *keys) refresh(wait bool) {
	if wait {
		k.fetching.Lock()
	} else if !k.fetching.TryLock() {
		return
	}
	defer k.fetching.Unlock()
	if !k.due() {
		return
	}
	k.mu.Lock()
	k.tried = k.now()
	k.mu.Unlock()
	// Not the context of a request: others need the keys too.
	ctx, cancel := context.WithTimeout(context.Background(), fetchTime)
	defer cancel()
	set, err := k.fetch(ctx)
	k.mu.Lock()
	news := err != nil && !k.away
	k.away = err != nil
	if err == nil {
		k.set, k.fetched = set, k.now()
	}
	k.mu.Unlock()
	if news && k.failed != nil {
		k.failed(fmt.Errorf("%w: %w", errAway, err))
	}
}

// fetch reads the provider's description of itself, then its keys. That the
// description is the issuer's own is checked by the library.
func (k *keys) fetch(ctx context.Context) ([]jose.JSONWebKey, error) {
	ctx = oidc.ClientContext(ctx, k.client)
	provider, err := oidc.NewProvider(ctx, k.issuer)
	if err != nil {
		return nil, why("its description cannot be read, or is another issuer's", err)
	}
	var description struct {
		Keys string `json:"jwks_uri"`
	}
	if err := provider.Claims(&description); err != nil {
		return nil, errors.New("its description cannot be read")
	}
	return fetchKeys(ctx, k.client, description.Keys)
}

// usable drops what signs nothing, is not public, too weak, or not understood:
// one odd key must not take the others down.
func usable(texts []json.RawMessage) []jose.JSONWebKey {
	var set []jose.JSONWebKey
	for _, text := range texts[:min(len(texts), maxKeys)] {
		var key jose.JSONWebKey
		if json.Unmarshal(text, &key) != nil || !key.Valid() || !key.IsPublic() || (key.Use != "" && key.Use != "sig") {
			continue
		}
		if r, ok := key.Key.(*rsa.PublicKey); ok && r.N.BitLen() < minRSABits {
			continue
		}
		set = append(set, key)
	}
	return set
}
