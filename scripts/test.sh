#!/usr/bin/env bash
# The whole test run: tools, checks, build, tests. Ends with a line "N passed, N failed".
set -u
cd "$(dirname "$0")/.."
export PATH="$PATH:/usr/sbin"
bash scripts/install-test-tools.sh || { echo "0 passed, 1 failed"; exit 1; }
bash scripts/check.sh; checked=$?
npm run -s build || { echo "0 passed, 1 failed"; exit 1; }

# Thousands of synced commits to the disk are most of a run's time, and say nothing that a test asks: where there is room, in memory.
# What a killed process wrote outlives it there too; how fast the disk is, is for the benchmarks.
room=$(df -m --output=avail /dev/shm 2>/dev/null | tail -1)
if [ -z "${TMPDIR:-}" ] && [ -w /dev/shm ] && [ "${room:-0}" -ge 4096 ]; then export TMPDIR=/dev/shm; fi

mkdir -p tests/output
results=tests/output/results.json
rm -f "$results"
npx vitest run --reporter=default --reporter=json --outputFile.json="$results" "$@"; tested=$?

# The checks count as one test; a run that wrote no results has failed.
CHECKED=$checked node -e '
  let passed = 0, failed = 0;
  try {
    const r = JSON.parse(require("fs").readFileSync(process.argv[1], "utf8"));
    const broken = r.testResults.filter((file) => file.status === "failed" && file.assertionResults.length === 0).length;
    passed = r.numPassedTests; failed = r.numFailedTests + broken;
  } catch { failed += 1; }
  if (process.env.CHECKED === "0") passed += 1; else failed += 1;
  console.log(`${passed} passed, ${failed} failed`);
' "$results"
[ "$checked" = 0 ] && [ "$tested" = 0 ]
