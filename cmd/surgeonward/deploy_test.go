package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unitLines are the settings of a section of the unit; a setting may come twice.
func unitLines(t *testing.T, section string) map[string][]string {
	t.Helper()
	text, err := os.ReadFile("deploy/surgeonward.service")
	require.NoError(t, err)
	settings, in := map[string][]string{}, ""
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		switch name, value, ok := strings.Cut(line, "="); {
		case line == "" || line[0] == '#':
		case line[0] == '[':
			in = strings.Trim(line, "[]")
		case in == section:
			require.True(t, ok, line)
			settings[name] = append(settings[name], value)
		}
	}
	return settings
}

// Source of the settings: systemd.exec(5), sections SANDBOXING and SYSTEM CALL
// FILTERING.
func TestUnitIsHardened(t *testing.T) {
	service := unitLines(t, "Service")
	for name, want := range map[string]string{
		"DynamicUser": "yes", "ProtectSystem": "strict", "ProtectHome": "yes", "PrivateTmp": "yes", "PrivateDevices": "yes",
		"NoNewPrivileges": "yes", "CapabilityBoundingSet": "", "StateDirectory": "surgeonward", "StateDirectoryMode": "0700", "UMask": "0077",
		"RestrictAddressFamilies": "AF_INET AF_INET6 AF_UNIX", "MemoryDenyWriteExecute": "yes", "SystemCallArchitectures": "native",
		"RestrictNamespaces": "yes", "ProtectKernelModules": "yes", "ProtectKernelTunables": "yes", "ProtectControlGroups": "yes",
		"ProtectClock": "yes", "LockPersonality": "yes", "Restart": "on-failure",
	} {
		assert.Equal(t, []string{want}, service[name], name)
	}
	assert.Equal(t, []string{"@system-service", "~@privileged @resources"}, service["SystemCallFilter"])
	for _, name := range []string{"User", "ReadWritePaths", "Environment"} {
		assert.Empty(t, service[name], name)
	}
	command := strings.Fields(service["ExecStart"][0])
	assert.Equal(t, []string{"/usr/local/bin/surgeonward", "serve"}, command, "no secret on a command line")
	stop, err := strconv.Atoi(service["TimeoutStopSec"][0])
	require.NoError(t, err)
	assert.Greater(t, stop, 10, "longer than running requests are waited for, in seconds")
}

// TestUnitAsSystemdReadsIt lets systemd judge the unit where it is installed.
func TestUnitAsSystemdReadsIt(t *testing.T) {
	analyze, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Skip("systemd-analyze is not installed: the unit was not read by systemd itself")
	}
	text, err := os.ReadFile("deploy/surgeonward.service")
	require.NoError(t, err)
	program, err := os.Executable() // systemd asks whether the program is there
	require.NoError(t, err)
	unit := filepath.Join(t.TempDir(), "surgeonward.service")
	require.NoError(t, os.WriteFile(unit, []byte(strings.Replace(string(text), "/usr/local/bin/surgeonward", program, 1)), 0o600))
	out, err := exec.CommandContext(t.Context(), analyze, "verify", "--man=no", unit).CombinedOutput()
	if strings.Contains(string(out), "command not supported") || strings.Contains(string(out), "Failed to create") {
		t.Skipf("systemd-analyze cannot verify here: %s", out)
	}
	require.NoError(t, err, "%s", out)
	assert.NotContains(t, string(out), "surgeonward.service:", "a setting it does not understand")
	out, err = exec.CommandContext(t.Context(), analyze, "security", "--offline=true", "--no-pager", unit).CombinedOutput()
	if err != nil {
		t.Skipf("this systemd-analyze does not judge units that are not installed: %s", out)
	}
	level := regexp.MustCompile(`exposure level for \S+: ([0-9.]+)`).FindSubmatch(out)
	require.NotNil(t, level, "%s", out)
	exposure, err := strconv.ParseFloat(string(level[1]), 64)
	require.NoError(t, err)
	assert.Less(t, exposure, 2.0, "0 is none, 10 is all")
}

// TestContainerHoldsTheProgramOnly. Source: definition; the last stage is what
// is run.
func TestContainerHoldsTheProgramOnly(t *testing.T) {
	text, err := os.ReadFile("deploy/Containerfile")
	require.NoError(t, err)
	stages := regexp.MustCompile(`(?m)^FROM `).Split(strings.ReplaceAll(string(text), "\\\n", ""), -1)
	last := stages[len(stages)-1]
	lines := strings.Split(last, "\n")
	assert.Equal(t, "scratch", lines[0])
	for _, want := range []string{"USER 65532:65532", `ENTRYPOINT ["/surgeonward"]`, `CMD ["serve"]`, "ENV SURGEONWARD_LISTEN=:8443", "EXPOSE 8443", "STOPSIGNAL SIGTERM"} {
		assert.Contains(t, lines, want)
	}
	assert.Regexp(t, `(?m)^HEALTHCHECK .* CMD \["/surgeonward", "healthy"\]$`, last)
	assert.NotContains(t, last, "RUN ", "there is nothing to run it with")
	assert.NotContains(t, last, "ALLOW_WIDE")
	assert.NotRegexp(t, `(?i)(TOKENS|KEY)=`, last, "no secret is built in")
	assert.Contains(t, stages[1], "CGO_ENABLED=0 go build")
	module, err := os.ReadFile("../../go.mod")
	require.NoError(t, err)
	language := regexp.MustCompile(`(?m)^go (\d+\.\d+)`).FindSubmatch(module)
	require.NotNil(t, language)
	assert.True(t, strings.HasPrefix(stages[1], "golang:"+string(language[1])+" "), stages[1])
}

// TestContainerListensWide: as the container file has it, and nothing more, the
// program refuses to start: it must be given access control and TLS.
func TestContainerListensWide(t *testing.T) {
	var stderr strings.Builder
	env := map[string]string{"SURGEONWARD_LISTEN": ":8443"}
	code := run(t.Context(), []string{"serve"}, func(name string) string { return env[name] }, strings.NewReader(""), &strings.Builder{}, &stderr)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, stderr.String(), "no access control")
}
