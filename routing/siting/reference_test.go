package siting_test

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"surgeonward/routing/siting"
)

// reference reads a published file, which is never part of the project.
func reference(t testing.TB, path ...string) []byte {
	t.Helper()
	folder := os.Getenv("SURGEONWARD_REFERENCE")
	if folder == "" {
		folder = "../../../shared/reference/data"
	}
	data, err := os.ReadFile(filepath.Join(append([]string{folder, "planning"}, path...)...))
	if os.IsNotExist(err) {
		t.Skipf("no reference file %s: set SURGEONWARD_REFERENCE", strings.Join(path, "/"))
	}
	require.NoError(t, err)
	return data
}

// pmed reads a problem of the OR-Library: an undirected graph, the last cost of an
// edge that repeats counts, times are shortest paths.
func pmed(t testing.TB, name string) *siting.Problem {
	t.Helper()
	in := bytes.NewReader(reference(t, "pmed", name+".txt"))
	var n, edges, count int
	_, err := fmt.Fscan(in, &n, &edges, &count)
	require.NoError(t, err)
	d := make([][]float64, n)
	for i := range d {
		d[i] = slices.Repeat([]float64{math.Inf(1)}, n)
		d[i][i] = 0
	}
	for range edges {
		var a, b int
		var cost float64
		_, err := fmt.Fscan(in, &a, &b, &cost)
		require.NoError(t, err)
		d[a-1][b-1], d[b-1][a-1] = cost, cost
	}
	for k := range d {
		for i := range d {
			for j := range d {
				d[i][j] = min(d[i][j], d[i][k]+d[k][j])
			}
		}
	}
	return &siting.Problem{Weights: slices.Repeat([]float64{1}, n), TimesS: d, Count: count}
}

// sanFrancisco reads the sample data of 16 sites and 205 census tracts. Times
// stand for the metres of the source. Names are the source's numbers of sites.
func sanFrancisco(t testing.TB) (p *siting.Problem, names []int) {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(reference(t, "san_francisco",
		"SF_network_distance_candidateStore_16_censusTract_205_new.csv"))).ReadAll()
	require.NoError(t, err)
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		return v
	}
	sites, tracts := map[int]map[string]float64{}, map[string]float64{}
	for _, row := range rows[1:] {
		store := int(number(strings.TrimPrefix(row[1], "Store_")))
		if sites[store] == nil {
			sites[store] = map[string]float64{}
			names = append(names, store)
		}
		sites[store][row[2]] = number(row[0])
		tracts[row[2]] = number(row[3])
	}
	slices.Sort(names)
	var order []string
	for name := range tracts {
		order = append(order, name)
	}
	slices.Sort(order)
	p = &siting.Problem{}
	for _, name := range order {
		p.Weights = append(p.Weights, tracts[name])
	}
	for _, store := range names {
		var times []float64
		for _, name := range order {
			times = append(times, sites[store][name])
		}
		p.TimesS = append(p.TimesS, times)
	}
	require.Len(t, names, 16)
	require.Len(t, order, 205)
	return p, names
}

// expected reads the values that full enumeration gave for San Francisco: by the
// head of a line, the members of that line.
func expected(t testing.TB) map[string]map[string]string {
	t.Helper()
	out := map[string]map[string]string{}
	lines := bufio.NewScanner(bytes.NewReader(reference(t, "san_francisco", "expected.txt")))
	for lines.Scan() {
		fields := strings.Fields(lines.Text())
		if len(fields) < 3 || fields[0] != "ENUM" {
			continue
		}
		members := map[string]string{}
		key := ""
		for _, f := range fields[1:] {
			name, value, ok := strings.Cut(f, "=")
			switch {
			case f == "MEXCLP", ok && (name == "p" || name == "q"):
				key += f
			case ok:
				members[name] = value
			}
		}
		out[key] = members
	}
	require.NoError(t, lines.Err())
	return out
}
