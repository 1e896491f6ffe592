package main

import (
	"fmt"
	"net"
	"strings"
)

// safety is what keeps strangers from a service that other machines can reach:
// its answers tell where patients are, and its list sends them on their way.
type safety struct {
	guarded   bool // there is access control
	encrypted bool // there is TLS
	waived    bool // something in front of it provides what is missing
}

// missing are the flags that would make it safe to listen wider.
func (s safety) missing() []string {
	var flags []string
	if !s.guarded {
		flags = append(flags, "access control (--tokens or --oidc-issuer)")
	}
	if !s.encrypted {
		flags = append(flags, "TLS (--tls-cert and --tls-key)")
	}
	return flags
}

// listen opens the address. An address that other machines can reach needs both
// access control and TLS, or neither counts: a token that is sent in the open
// is anybody's. The check is made on the resolved address that is then opened,
// so that no name can resolve to something else in between.
func listen(address string, s safety) (listener net.Listener, loopback bool, err error) {
	resolved, err := net.ResolveTCPAddr("tcp", address)
	if err != nil {
		return nil, false, usageError{fmt.Errorf("--listen: %w: give a host and a port such as 127.0.0.1:8080", err)}
	}
	loopback = resolved.IP.IsLoopback()
	if missing := s.missing(); !loopback && !s.waived && len(missing) > 0 {
		return nil, false, usageError{fmt.Errorf("--listen %s can be reached from other machines, and there is no %s: "+
			"listen on 127.0.0.1, or add what is missing, or --allow-wide if something in front of it provides that",
			address, strings.Join(missing, " and no "))}
	}
	listener, err = net.ListenTCP("tcp", resolved)
	if err != nil {
		return nil, false, fmt.Errorf("--listen: %w", err)
	}
	return listener, loopback, nil
}
