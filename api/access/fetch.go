package access

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"

	"github.com/go-jose/go-jose/v4"
)

// providerClient fetches a provider's documents: in bounded time and size, and
// over nothing that can be changed on the way.
func providerClient() *http.Client {
	transport := &http.Transport{Proxy: http.ProxyFromEnvironment, DisableKeepAlives: true} // some fetches an hour
	return &http.Client{
		Timeout:   fetchTime,
		Transport: bounded{transport},
		CheckRedirect: func(r *http.Request, via []*http.Request) error {
			if len(via) > 3 || !secure(r.URL) {
				return errors.New("the identity provider leads elsewhere")
			}
			return nil
		},
	}
}

// bounded cuts answers off at maxDocument.
type bounded struct{ next http.RoundTripper }

func (b bounded) RoundTrip(r *http.Request) (*http.Response, error) {
	answer, err := b.next.RoundTrip(r)
	if err == nil {
		answer.Body = struct {
			io.Reader
			io.Closer
		}{io.LimitReader(answer.Body, maxDocument), answer.Body}
	}
	return answer, err
}

// why adds what went wrong on the way to the provider, but nothing that it
// answered: this goes to the log.
func why(about string, err error) error {
	if on := (*url.Error)(nil); errors.As(err, &on) {
		return fmt.Errorf("%s: %w", about, on.Err)
	}
	return errors.New(about)
}

// fetchKeys reads a set of keys (RFC 7517).
func fetchKeys(ctx context.Context, client *http.Client, address string) ([]jose.JSONWebKey, error) {
	u, err := url.Parse(address)
	if err != nil || !secure(u) {
		return nil, errors.New("the address of its keys is not https")
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return nil, errors.New("the address of its keys cannot be used")
	}
	answer, err := client.Do(r)
	if err != nil {
		return nil, why("its keys cannot be fetched", err)
	}
	defer func() { _ = answer.Body.Close() }()
	if answer.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("its keys are answered with status %d", answer.StatusCode)
	}
	var document struct {
		Keys []json.RawMessage `json:"keys"`
	}
	if err := json.NewDecoder(answer.Body).Decode(&document); err != nil {
		return nil, errors.New("its keys cannot be read")
	}
	set := usable(document.Keys)
	if len(set) == 0 {
		return nil, errors.New("it publishes no key that can be used")
	}
	return set, nil
}
