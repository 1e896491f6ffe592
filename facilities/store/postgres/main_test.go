package postgres_test

import (
	"testing"

	"surgeonward/facilities/store/postgres/pgserver"
)

func TestMain(m *testing.M) { pgserver.Main(m) }
