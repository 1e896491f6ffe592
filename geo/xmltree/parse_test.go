package xmltree_test

import (
	"errors"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/geo/xmltree"
)

var limits = xmltree.Limits{Bytes: 1 << 16, Depth: 20, Elements: 1000}

func TestParseKeepsNamesTextAndOrder(t *testing.T) {
	root, err := xmltree.Parse([]byte("\ufeff<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- a comment -->\n"+
		`<a xmlns="urn:one" xmlns:b="urn:two" k="1" b:k="2"><b:c> x &lt;<![CDATA[&]]> </b:c><c/><b:c>y</b:c> tail </a>`), limits)
	require.NoError(t, err)
	assert.True(t, root.Is("urn:one", "a"))
	assert.Equal(t, 3, root.Line)
	assert.Equal(t, "tail", root.Text)
	require.Len(t, root.All("urn:two", "c"), 2)
	assert.Equal(t, "x <&", root.Child("urn:two", "c").Content())
	assert.Equal(t, "y", root.All("urn:two", "c")[1].Text)
	assert.NotNil(t, root.Child("urn:one", "c"))
	plain, ok := root.Attr("", "k")
	assert.True(t, ok)
	assert.Equal(t, "1", plain)
	other, _ := root.Attr("urn:two", "k")
	assert.Equal(t, "2", other)

	var nothing *xmltree.Element
	assert.Nil(t, nothing.Child("", "a").Child("", "b"))
	assert.Empty(t, nothing.Content())
	assert.Empty(t, nothing.All("", "a"))
	nothing.Walk(func(*xmltree.Element) bool { t.Error("nothing to visit"); return true })
}

func TestParseRefuses(t *testing.T) {
	const secret = "356708041746734"
	laughs := `<!DOCTYPE l [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><l>&c;</l>`
	for _, c := range []struct{ name, in, says string }{
		{"nothing", "", "holds no element"},
		{"only a comment", "<!-- x -->", "holds no element"},
		{"text", secret, "text stands outside"},
		{"text after", "<a/>" + secret, "text stands outside"},
		{"two roots", "<a/><b/>", "second root"},
		{"not closed", "<a>\n<" + secret + ">", "line 2: this is not well-formed"},
		{"closed in the wrong order", "<a><b></a></b>", "not well-formed"},
		{"half an element", "<a", "not well-formed"},
		{"unknown entity", "<a>&i" + secret + ";</a>", "not well-formed"},
		{"NUL", "<a>\x00</a>", "not well-formed"},
		{"not UTF-8", "<a>\xff</a>", "not well-formed"},
		{"another encoding", `<?xml version="1.0" encoding="UTF-16"?><a/>`, "not well-formed"},
		{"billion laughs", laughs, "document type declaration"},
		{"external entity", `<!DOCTYPE a SYSTEM "http://localhost/x"><a/>`, "document type declaration"},
		{"deep", strings.Repeat("<a>", 21), "more than 20 deep"},
		{"many elements", "<r>" + strings.Repeat("<a/>", 1000), "more than 1000 elements"},
		{"many attributes", "<r" + strings.Repeat(` a="1"`, 1000) + "/>", "more than 1000 elements and attributes"},
		{"long", strings.Repeat("<", 1<<16+1), "at most 65536 are read"},
	} {
		t.Run(c.name, func(t *testing.T) {
			root, err := xmltree.Parse([]byte(c.in), limits)
			assert.Nil(t, root)
			var refusal *xmltree.Error
			require.True(t, errors.As(err, &refusal))
			assert.ErrorContains(t, err, c.says)
			assert.NotContains(t, err.Error(), secret, "errors never quote the document")
		})
	}
}

func TestParseInBoundedMemory(t *testing.T) {
	for name, in := range map[string]string{
		"100 MB":             strings.Repeat("<a>", 100<<20/3),
		"nested to the brim": strings.Repeat("<a>", 1<<16/3),
		"text to the brim":   "<a>" + strings.Repeat("x<b/>", 1<<16/5-10),
	} {
		t.Run(name, func(t *testing.T) {
			data := []byte(in)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := xmltree.Parse(data, limits)
			runtime.ReadMemStats(&after)
			assert.Error(t, err)
			assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(2<<20))
		})
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"", "<a/>", "<a>", "</a>", "<a><b/>x<b/></a>", "<?xml?>", "<!DOCTYPE a>", "<!-- -- -->", "<a b='c' b='d'/>", "<a:b/>", "<a xmlns='x'/>",
		"<a>&#0;</a>", "<a>&#x110000;</a>", "<![CDATA[]]>", "\xff\xfe<\x00", strings.Repeat("<a>", 100),
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		root, err := xmltree.Parse(data, limits)
		if (err == nil) != (root != nil) {
			t.Fatalf("root %v, error %v", root, err)
		}
		count := 0
		root.Walk(func(e *xmltree.Element) bool { count++; return e.Name.Local != "" })
		if count > limits.Elements {
			t.Fatal("more elements than the limit")
		}
	})
}
