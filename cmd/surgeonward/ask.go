package main

import (
	"context"
	"time"

	"surgeonward/api"
	"surgeonward/api/region"
	"surgeonward/api/wire"
	"surgeonward/routing"
)

// ask puts the body of a request to the region's engine, just as the HTTP
// interface does.
func ask(ctx context.Context, body []byte, r *region.Region, now time.Time) (wire.Request, routing.Answer, error) {
	decoder, err := api.NewDecoder()
	if err != nil {
		return wire.Request{}, routing.Answer{}, err
	}
	request, err := decoder.Decode(body, r, now)
	if err != nil {
		return request, routing.Answer{}, err
	}
	answer, err := r.Engine.Options(ctx, request.Question)
	return request, answer, err
}
