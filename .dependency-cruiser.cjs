/** Which folder may import which: dependencies point one way (docs/architecture.md). */
const HOUSE = ['domain', 'host', 'gateway', 'server', 'simulator', 'dashboard', 'cli', 'tests'];
const MAY = {
  domain: ['domain'],
  host: ['host', 'domain'],
  gateway: ['gateway', 'host', 'domain'],
  server: ['server', 'host', 'domain'],
  simulator: ['simulator', 'host', 'domain'],
  dashboard: ['dashboard', 'domain'],
  cli: ['cli', 'server', 'gateway', 'simulator', 'host', 'domain'],
};
/** Inside domain, left to right: a folder imports itself and what stands before it. */
const DOMAIN_ORDER = [['quantity'], ['air', 'climate', 'exposure', 'trend'], ['points'], ['alarms'], ['shift'], ['site'], ['wire'], ['words']];

const direction = Object.entries(MAY).map(([from, may]) => ({
  name: `${from}-imports-only-${may.join('-')}`,
  severity: 'error',
  from: { path: `^${from}/` },
  to: { path: `^(${HOUSE.filter((room) => !may.includes(room)).join('|')})/` },
}));

const inDomain = DOMAIN_ORDER.flatMap((rooms, index) => {
  const later = DOMAIN_ORDER.slice(index + 1).flat();
  return later.length === 0 ? [] : rooms.map((room) => ({ name: `domain-${room}-looks-back-only`, severity: 'error', from: { path: `^domain/${room}/` }, to: { path: `^domain/(${later.join('|')})/` } }));
});

module.exports = {
  forbidden: [
    ...direction,
    ...inDomain,
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true, viaOnly: { dependencyTypesNot: ['type-only'] } } },
    { name: 'domain-is-pure', severity: 'error', from: { path: '^domain/' }, to: { dependencyTypes: ['core'] } },
    { name: 'domain-has-one-library', severity: 'error', from: { path: '^domain/' }, to: { dependencyTypes: ['npm'], pathNot: 'node_modules/zod/' } },
    { name: 'dashboard-runs-in-a-browser', severity: 'error', from: { path: '^dashboard/', pathNot: 'vite\\.config\\.ts$' }, to: { dependencyTypes: ['core'] } },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'types', 'node', 'default'], extensions: ['.ts', '.tsx', '.js', '.json'] },
  },
};
