package main

import (
	"fmt"
	"net"
)

// listen opens the address. Unless wide is set it must be one that only this
// machine can reach: there is no access control, and answers tell where
// patients are. The check is made on the resolved address that is then opened,
// so that no name can resolve to something else in between.
func listen(address string, wide bool) (net.Listener, error) {
	resolved, err := net.ResolveTCPAddr("tcp", address)
	if err != nil {
		return nil, usageError{fmt.Errorf("--listen: %w: give a host and a port such as 127.0.0.1:8080", err)}
	}
	if !wide && !resolved.IP.IsLoopback() {
		return nil, usageError{fmt.Errorf("--listen %s can be reached from other machines and there is no access control: "+
			"listen on 127.0.0.1, or add --allow-wide if something in front of it controls access", address)}
	}
	listener, err := net.ListenTCP("tcp", resolved)
	if err != nil {
		return nil, fmt.Errorf("--listen: %w", err)
	}
	return listener, nil
}
