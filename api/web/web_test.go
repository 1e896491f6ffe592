package web_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/web"
)

func file(body string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(body)} }

func TestEmbedded(t *testing.T) {
	page, err := web.Embedded()
	require.NoError(t, err)
	assert.Equal(t, "text/html; charset=utf-8", page.Start.Media)
	if !page.Built {
		assert.Contains(t, string(page.Start.Body), "make web")
		return
	}
	assert.NotEmpty(t, page.Worker.Body)
	for name := range page.Assets {
		assert.Contains(t, string(page.Start.Body)+string(page.Worker.Body), "/page/"+name, "every asset is fetched by somebody")
	}
}

func TestRead(t *testing.T) {
	built := fstest.MapFS{
		"index.html":        file("<p>page"),
		"worker.js":         file("0"),
		"assets/a-1.js":     file("1;1;1;1"),
		"assets/a-1.js.gz":  file("zipped"),
		"assets/a-2.css":    file("p{}"),
		"unbuilt.html":      file("<p>not built"),
		"assets/terms.txt":  file("terms"),
		"assets/mark-3.svg": file("<svg/>"),
	}
	page, err := web.Read(built)
	require.NoError(t, err)
	assert.True(t, page.Built)
	assert.Equal(t, "<p>page", string(page.Start.Body))
	assert.Len(t, page.Assets, 4)
	script := page.Assets["a-1.js"]
	assert.Equal(t, "zipped", string(script.Zipped))
	assert.Equal(t, "text/javascript; charset=utf-8", script.Media)
	assert.Regexp(t, `^"[0-9a-f]{32}"$`, script.Tag)
	assert.Nil(t, page.Assets["a-2.css"].Zipped)

	page, err = web.Read(fstest.MapFS{"unbuilt.html": file("<p>not built")})
	require.NoError(t, err)
	assert.False(t, page.Built)
	assert.Equal(t, "<p>not built", string(page.Start.Body))

	for name, broken := range map[string]fstest.MapFS{
		"nothing at all": {},
		"no worker":      {"index.html": file(""), "assets/a.js": file("")},
		"no assets":      {"index.html": file(""), "worker.js": file("")},
		"unknown kind":   {"index.html": file(""), "worker.js": file(""), "assets/a.exe": file("")},
	} {
		_, err := web.Read(broken)
		assert.Error(t, err, name)
	}
}
