#!/usr/bin/env bash
# Types, lint, dependency rules and dead code, side by side; a minute and a half on two cores, most of it lint. Says which of them failed.
set -u
cd "$(dirname "$0")/.."
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT

dependencies() {
  npx depcruise --config .dependency-cruiser.cjs --output-type json domain host gateway server simulator dashboard cli > "$out/deps.json"
  # A checker that sees no module reports no violation: so the count is checked too.
  node -e '
    const { modules, summary } = JSON.parse(require("fs").readFileSync(process.argv[1], "utf8"));
    const own = modules.filter(({ source }) => !source.includes("node_modules")).length;
    for (const v of summary.violations) console.log(`${v.rule.name}: ${v.from} -> ${v.to}`);
    console.log(`${own} modules, ${summary.violations.length} violations of the dependency rules`);
    process.exit(own > 100 && summary.error === 0 ? 0 : 1);' "$out/deps.json"
}

run() { local name=$1; shift; ( "$@" > "$out/$name.txt" 2>&1; echo $? > "$out/$name.rc" ) & }
run types npx tsc -p tsconfig.json
run dashboard-types npx tsc -p dashboard/tsconfig.json
run worker-types npx tsc -p dashboard/worker/tsconfig.json
wait
run lint npx eslint . --max-warnings 0
run dependencies dependencies
run dead-code npx knip --no-progress
wait

failed=0
for name in types dashboard-types worker-types lint dependencies dead-code; do
  if [ "$(cat "$out/$name.rc")" = 0 ]; then echo "ok    $name"; else echo "FAIL  $name"; cat "$out/$name.txt"; failed=1; fi
done
exit $failed
