package api

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
)

// The rows of a page.
const (
	defaultRows = 1000
	maxRows     = 10_000
)

// tablePage is which rows of a table are asked for.
type tablePage struct{ after, limit int64 }

func readPage(c echo.Context) (tablePage, error) {
	q, err := readQuery(c, "after", "limit")
	if err != nil {
		return tablePage{}, err
	}
	var p tablePage
	if p.after, err = number(q, "after", 0, 1<<40, 0); err != nil {
		return p, err
	}
	p.limit, err = number(q, "limit", 1, maxRows, defaultRows)
	return p, err
}

// tableRows is one page of a table. Next is what after is for the next page; nil: this was the last.
type tableRows struct {
	Rows []map[string]any `json:"rows"`
	Next *int64           `json:"next,omitempty"`
}

// of reads the page off a table. What stands in a column of numbers is a number, or
// null where nothing stands.
func (p tablePage) of(table []byte) (tableRows, error) {
	out := tableRows{Rows: []map[string]any{}}
	in := csv.NewReader(bytes.NewReader(table))
	in.ReuseRecord = true
	header, err := in.Read()
	if err != nil {
		return out, err
	}
	names := append([]string{}, header...)
	for n := int64(0); ; n++ {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return out, err
		}
		if n < p.after {
			continue
		}
		if n == p.after+p.limit {
			out.Next = &n
			return out, nil
		}
		values := map[string]any{}
		for i, text := range row {
			values[names[i]] = columnValue(names[i], text)
		}
		out.Rows = append(out.Rows, values)
	}
}

func columnValue(name, text string) any {
	if !isNumeric(name) {
		return text
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil
	}
	return v
}

// isNumeric reports whether a column's name has a unit, or is one of the plain numbers.
func isNumeric(name string) bool {
	switch name {
	case "latitude", "longitude", "people":
		return true
	}
	return strings.HasSuffix(name, "_s") || strings.HasSuffix(name, "_km2")
}
