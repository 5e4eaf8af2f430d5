import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    // Generous, as all time-outs here: a machine with other work fails no test.
    testTimeout: 180_000,
    hookTimeout: 180_000,
    // Its usual second is short for a page on two busy cores.
    expect: { poll: { timeout: 20_000 } },
    // Tests over processes start several programs each: on two cores, more at once only make each other late.
    maxWorkers: 2,
  },
});
