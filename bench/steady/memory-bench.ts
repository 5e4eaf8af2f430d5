import { join } from 'node:path';
import type { Result } from '../measure.ts';
import { end, inTempDir, pause, prepare, residentMb, type Running, startBare, startPotside, startScript } from '../processes.ts';
import { slopeOf } from '../fit.ts';
import { siteYaml } from './rigs.ts';

const RIGS = 200;
const POINTS = 15;
/** `BENCH_SOAK_SECONDS` makes it longer: a heap finds its level in minutes. */
const SOAK_S = Number(process.env['BENCH_SOAK_SECONDS'] ?? 120);
const LOOK_EVERY_MS = 1_000;

interface Soaked {
  readonly mostMb: number;
  /** MB a minute over the last half, by least squares. */
  readonly slope: number;
}

/** Resident memory at 200 rigs × 15 points, a reading a second each, and whether it grows. Ours and the bare server soak side by side: memory is not time. */
export async function benchMemory(): Promise<Result[]> {
  return inTempDir(async (dir) => {
    const servers = [await startBare(new URL('../pipeline/bare-server.js', import.meta.url), [join(dir, 'bare.db')]), await startPotside(dir, await prepare(dir, siteYaml(RIGS)))];
    console.log(`memory: ${SOAK_S} s of ${RIGS} rigs × ${POINTS} points at 1 Hz`);
    try {
      const [floor, value] = await Promise.all(servers.map(soak));
      if (!floor || !value) throw new Error('nothing was measured');
      const of = (name: string, unit: string, figure: (soaked: Soaked) => number): Result => ((ratio) => ({ name, unit, value: figure(value), floor: figure(floor), ratio, spread: [ratio, ratio] }))(figure(value) / figure(floor));
      return [
        of(`memory at ${RIGS} rigs × ${POINTS} points at 1 Hz, most`, 'MB', ({ mostMb }) => mostMb),
        // Of two slopes around nothing a quotient says nothing: the ratio is how much of itself each would gain in an hour, where one that shrinks gains nothing.
        { ...of('memory, growth over the last half of that', 'MB/min', ({ slope }) => slope), ...growth(value, floor) },
      ];
    } finally {
      await Promise.all(servers.map((server) => server.stop()));
    }
  });
}

function growth(value: Soaked, floor: Soaked): Pick<Result, 'ratio' | 'spread'> {
  const afterAnHour = ({ mostMb, slope }: Soaked): number => (mostMb + 60 * Math.max(0, slope)) / mostMb;
  const ratio = afterAnHour(value) / afterAnHour(floor);
  return { ratio, spread: [ratio, ratio] };
}

async function soak(server: Running): Promise<Soaked> {
  const sensors = startScript(new URL('sensors.js', import.meta.url), [server.mqtt, String(RIGS), String(POINTS)]);
  const looks: { readonly minutes: number; readonly mb: number }[] = [];
  const begun = performance.now();
  while (performance.now() - begun < SOAK_S * 1000) {
    await pause(LOOK_EVERY_MS);
    looks.push({ minutes: (performance.now() - begun) / 60_000, mb: residentMb(server.child) });
  }
  await end(sensors);
  const lastHalf = looks.slice(looks.length >> 1);
  return { mostMb: Math.max(...looks.map(({ mb }) => mb)), slope: slopeOf(lastHalf.map(({ minutes, mb }) => [minutes, mb])) };
}
