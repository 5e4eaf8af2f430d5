import { Command, CommanderError } from 'commander';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { InputKind } from '../../cli/calc/calculation.ts';
import { CALCULATIONS, calcCommand } from '../../cli/calc/calc-command.ts';

interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

/** Runs `potside calc …` as the program would, with its streams and its exit caught. */
function run(line: string): Ran {
  let [out, err] = ['', ''];
  const streams = { writeOut: (text: string) => void (out += text), writeErr: (text: string) => void (err += text) };
  const calc = calcCommand();
  for (const command of [calc, ...calc.commands]) command.configureOutput(streams).exitOverride();
  const program = new Command('potside').configureOutput(streams).exitOverride().addCommand(calc);
  try {
    program.parse(['calc', ...line.split(' ').filter((word) => word !== '')], { from: 'user' });
    return { status: 0, out, err };
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    return { status: error.exitCode, out, err };
  }
}

function answer(line: string): Record<string, unknown> & { value: number; unit: string } {
  const { status, out, err } = run(line);
  expect(err).toBe('');
  expect(status).toBe(0);
  return JSON.parse(out) as Record<string, unknown> & { value: number; unit: string };
}

describe('every calculation', () => {
  test('is there, by the names of the contract', () => {
    expect(CALCULATIONS.map((one) => one.name).sort()).toEqual(
      ['atmospheric-dew-point', 'co-average', 'cohb', 'compressor-load', 'condensate', 'dew-point', 'hose-loss', 'humidity-ratio', 'intake-plume', 'leak', 'line', 'nozzle-bore', 'nozzle-flow', 'pressure-dew-point', 'production', 'steel-margin', 'wet-bulb'].sort(),
    );
  });

  test.each(CALCULATIONS.map((one) => [one.name, one] as const))('%s: its own example answers with value, unit, inputs, method and source', (name, one) => {
    const found = answer(`${name} ${one.example}`);
    expect(Number.isFinite(found.value)).toBe(true);
    for (const field of ['unit', 'method', 'source']) expect(found[field]).toMatch(/./);
    expect(Object.keys(found['inputs'] as object)).toEqual(expect.arrayContaining(one.inputs.filter((input) => !input.optional).map((input) => input.flag)));
  });

  test.each(CALCULATIONS.map((one) => [one.name, one] as const))('%s: its help shows every flag and an example', (name, one) => {
    const { status, out } = run(`${name} --help`);
    expect(status).toBe(0);
    for (const input of one.inputs) expect(out).toContain(`--${input.flag}`);
    expect(out).toContain(`potside calc ${name} ${one.example}`);
  });

  const needed = CALCULATIONS.flatMap((one) => one.inputs.filter((input) => input.assumed === undefined && !input.optional).map((input) => [one.name, input.flag, one] as const));
  test.each(needed)('%s: a missing --%s is named, with status 2', (name, flag, one) => {
    const words = one.example.split(' ');
    const at = words.indexOf(`--${flag}`);
    const { status, out, err } = run(`${name} ${[...words.slice(0, at), ...words.slice(at + 2)].join(' ')}`);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(`--${flag}`);
  });

  const quantities = CALCULATIONS.flatMap((one) => one.inputs.filter((input) => input.kind !== 'text').map((input) => [one.name, input.flag, one] as const));
  test.each(quantities)('%s: --%s of another kind is named, with status 2', (name, flag, one) => {
    const words = one.example.split(' ');
    const at = words.indexOf(`--${flag}`);
    const rest = at < 0 ? words : [...words.slice(0, at), ...words.slice(at + 2)];
    const { status, err } = run(`${name} ${rest.join(' ')} --${flag} 5kg/m3`);
    expect(status).toBe(2);
    expect(err).toContain(`--${flag}`);
    expect(err).toContain('density');
  });
});

describe('what can’t be is refused by name, with status 2', () => {
  test.each([
    ['dew-point --temperature 20degC --humidity 140%', /humidity.*140/],
    ['dew-point --temperature 20degC --humidity 0%', /humidity/],
    ['dew-point --temperature -300degC --humidity 50%', /temperature/],
    ['wet-bulb --temperature 20degC --humidity 50% --atmosphere 2psi', /--atmosphere/],
    ['wet-bulb --temperature 20degC --humidity 50% --elevation 50km', /--elevation/],
    ['wet-bulb --temperature 20degC --humidity 50% --elevation 50000m', /--elevation.*11000/],
    ['wet-bulb --temperature 20degC --humidity 50% --elevation 5m --atmosphere 1000hPa', /one of them/],
    ['nozzle-flow --bore 0in --pressure 100psi', /--bore/],
    ['nozzle-flow --bore -1in --pressure 100psi', /--bore/],
    ['nozzle-flow --bore 1/0in --pressure 100psi', /--bore/],
    ['nozzle-flow --bore 1in --pressure -20psi', /--pressure.*vacuum/],
    ['nozzle-flow --bore 1in --pressure 0psia', /--pressure.*vacuum/],
    ['nozzle-flow --bore 1in --pressure 0psi', /--pressure.*above the atmosphere/],
    ['nozzle-flow --bore 100psi --pressure 100psi', /--bore.*length/],
    ['nozzle-flow --bore 1in --pressure 100', /--pressure.*no unit/],
    ['nozzle-flow --bore 1in --pressure 100psi --coefficient 0', /--coefficient/],
    ['nozzle-flow --bore 1in --pressure 100psi --in degC', /--in.*volume-flow/],
    ['nozzle-flow --bore 1in --pressure 100psi --in furlong', /--in.*not known/],
    ['nozzle-flow --bore', /bore/],
    ['nozzle-bore --flow 0cfm --pressure 100psi', /--flow/],
    ['hose-loss --bore 1/4in --length 500ft --flow 500cfm --pressure 100psi', /flow.*more than this hose/],
    ['hose-loss --bore 1in --length -5ft --flow 50cfm --pressure 100psi', /--length/],
    ['line --supply -5psi --hose-bore 1in --hose-length 5ft --nozzle-bore 1/4in', /--supply/],
    ['compressor-load --rated-flow 0cfm --nozzle-bore 1/4in --pressure 100psi', /--rated-flow/],
    ['compressor-load --rated-flow 100cfm --nozzle-bore 1/4in --pressure 100psi --rigs -1', /--rigs/],
    ['leak --volume 1ft3 --from 90psi --to 100psi --time 60s', /--to/],
    ['leak --volume 0ft3 --from 100psi --to 90psi --time 60s', /--volume/],
    ['leak --volume 1ft3 --from 100psi --to 90psi --time 0s', /--time/],
    ['co-average --samples 150ppm', /--samples.*150ppm/],
    ['co-average --samples 150psi:2h', /--samples.*150psi:2h.*pressure/],
    ['co-average --samples 150ppm:-2h', /--samples/],
    ['co-average --samples gap:2h', /samples/],
    ['cohb --concentration -5ppm --time 1h --activity rest', /--concentration/],
    ['cohb --concentration 50% --time 1h --activity rest', /concentration/],
    ['cohb --concentration 50ppm --time 1h --activity asleep', /--activity.*rest, light, heavy/],
    ['production --pressure -3psi', /pressure/],
    ['production --pressure 90psi --reference 0psi', /reference/],
    ['intake-plume --wind-from 400 --intake-bearing 0', /--wind-from/],
    ['intake-plume --wind-from north --intake-bearing 0', /--wind-from/],
    ['dew-point --temperature 20degC --humidity 50% --wrong 3', /--wrong/],
    ['dew-point --temperature 20 degC --humidity 50%', /too many arguments/],
    ['co-average --samples 150ppm:2h, 75ppm:2h', /too many arguments/],
    ['dewpoint', /dewpoint.*dew-point/],
    ['', /name is missing/],
  ])('calc %s', (line, message) => {
    const { status, out, err } = run(line);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toMatch(message);
    expect(err.trim().split('\n')).toHaveLength(1);
  });
});

describe('units', () => {
  test('the answer comes in the unit asked for', () => {
    expect(answer('dew-point --temperature 20degC --humidity 50% --in degF').value).toBeCloseTo(48.69, 2);
    expect(answer('steel-margin --steel 60degF --temperature 68degF --humidity 70% --in degF').value).toBeCloseTo(2.139, 3);
    expect(answer('steel-margin --steel 60degF --temperature 68degF --humidity 70%').value).toBeCloseTo(2.139 / 1.8, 3);
    expect(answer('nozzle-flow --bore 1/2in --pressure 100psi --in kg/s').unit).toBe('kg/s');
    expect(answer('condensate --temperature 80degF --humidity 75% --flow 500cfm --pressure 100psi --cooled-to 100degF --in L/h').value).toBeCloseTo(11.785, 2);
    expect(answer('condensate --temperature 80degF --humidity 75% --flow 500cfm --pressure 100psi --cooled-to 100degF --in kg/h').value).toBeCloseTo(11.785, 2);
    expect(answer('production --pressure 90psi --in 1').value).toBeCloseTo(0.85, 9);
  });

  test('gauge and absolute say the same by the local atmosphere', () => {
    const gauge = answer('nozzle-flow --bore 1/2in --pressure 100psi --atmosphere 14.7psi').value;
    expect(answer('nozzle-flow --bore 1/2in --pressure 114.7psia --atmosphere 14.7psi').value).toBeCloseTo(gauge, 9);
    const line = 'line --supply 100psi --hose-bore 1in --hose-length 50ft --nozzle-bore 3/8in --atmosphere 14.7psi';
    expect(answer(`${line} --in psia`).value - answer(line).value).toBeCloseTo(14.7, 6);
    expect(answer(`${line} --in psia`)['reference']).toBe('absolute');
  });

  test('a flow by mass and by standard volume says the same', () => {
    const volume = answer('hose-loss --bore 1in --length 50ft --flow 100cfm --pressure 100psi').value;
    expect(answer('hose-loss --bore 1in --length 50ft --flow 7.5lb/min --pressure 100psi').value).toBeCloseTo(volume, 9);
  });

  test('elevation thins the air', () => {
    const at = (more: string) => answer(`atmospheric-dew-point --pressure-dew-point 3degC --pressure 100psi ${more}`).value;
    expect(at('--elevation 2000m')).toBeLessThan(at(''));
    expect(at('--elevation 0m')).toBeCloseTo(at(''), 9);
    expect(at('--elevation 6561.68ft')).toBeCloseTo(at('--elevation 2000m'), 3);
  });
});

describe('whatever is asked', () => {
  const size = fc.oneof(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 200, noNaN: true }), fc.double({ min: -1e12, max: 1e12, noNaN: true }));
  const units: Readonly<Partial<Record<InputKind, readonly string[]>>> = { temperature: ['degC', 'degF', 'K'], fraction: ['%', 'ppm', '1'], gauge: ['psi', 'psia', 'bar'], flow: ['cfm', 'kg/s', 'L/min'], length: ['in', 'mm', 'ft'], volume: ['ft3', 'L'], time: ['s', 'h'], angle: ['deg'], speed: ['m/s'], count: ['{count}'] };
  const texts: Readonly<Record<string, readonly string[]>> = { activity: ['rest', 'light', 'heavy'], samples: ['150ppm:2h,gap:1h', '1e9ppm:1s', '5ppm:1e300h'] };

  test.each(CALCULATIONS.map((one) => [one.name, one] as const))('%s: a finite answer, or status 2 and a reason; never NaN', (name, one) => {
    const words = fc.tuple(...one.inputs.map((input) => fc.tuple(size, fc.constantFrom(...(units[input.kind] ?? texts[input.flag] ?? []))).map(([value, unit]) => `--${input.flag} ${input.kind === 'text' ? unit : `${value}${unit}`}`)));
    fc.assert(fc.property(words, (flags) => {
      const { status, out, err } = run(`${name} ${flags.join(' ')}`);
      if (status === 2) expect(err).toMatch(/--|must|than|no |below|too|give|gives|lie/);
      else expect(status).toBe(0);
      expect(out).not.toMatch(/null,?\n\s+"unit"|NaN|Infinity/);
      expect(err).not.toMatch(/NaN|undefined/);
      if (status === 0) expect(Number.isFinite((JSON.parse(out) as { value: number }).value)).toBe(true);
    }), { numRuns: 200 });
  });
});

describe('what is said beside the value', () => {
  test('assumptions are marked', () => {
    const inputs = answer('nozzle-flow --bore 7/16in --pressure 100psi')['inputs'] as Record<string, { value: number; assumed?: true; reference?: string }>;
    expect(inputs['coefficient']).toMatchObject({ value: 0.8, assumed: true });
    expect(inputs['bore']).toEqual({ value: 0.4375, unit: '[in_i]' });
    expect(inputs['pressure']).toMatchObject({ reference: 'gauge' });
    expect(inputs['atmosphere']).toMatchObject({ assumed: true, reference: 'absolute' });
  });

  test('dew and frost are told apart', () => {
    expect(answer('atmospheric-dew-point --pressure-dew-point 20degC --pressure 0.5bar')['phase']).toBe('dew');
    const frost = answer('atmospheric-dew-point --pressure-dew-point 3degC --pressure 7bar');
    expect(frost['phase']).toBe('frost');
    expect((frost['overSupercooledWater'] as { value: number }).value).toBeCloseTo(-23.1, 1);
  });

  test('back and forth come back', () => {
    const flow = answer('nozzle-flow --bore 7/16in --pressure 100psi').value;
    expect(answer(`nozzle-bore --flow ${flow}cfm --pressure 100psi`).value).toBeCloseTo(7 / 16, 9);
    const down = answer('atmospheric-dew-point --pressure-dew-point 3degC --pressure 100psi').value;
    expect(answer(`pressure-dew-point --atmospheric-dew-point ${down}degC --pressure 100psi`).value).toBeCloseTo(3, 6);
  });

  test('the line agrees with its own parts', () => {
    const line = answer('line --supply 100psi --hose-bore 1-1/4in --hose-length 100ft --nozzle-bore 7/16in');
    const flow = (line['flow'] as { value: number }).value;
    expect(answer(`nozzle-flow --bore 7/16in --pressure ${line.value}psi`).value).toBeCloseTo(flow, 3);
    expect(answer(`hose-loss --bore 1-1/4in --length 100ft --flow ${flow}cfm --pressure 100psi --loading 2.35`).value).toBeCloseTo(100 - line.value, 3);
    const clean = answer('line --supply 100psi --hose-bore 1-1/4in --hose-length 100ft --nozzle-bore 7/16in --loading 1');
    expect((line['withoutAbrasive'] as { nozzlePressure: { value: number } }).nozzlePressure.value).toBeCloseTo(clean.value, 9);
    const interval = line['interval95'] as { low: number; high: number };
    expect(interval.low).toBeLessThan(line.value);
    expect(interval.high).toBeGreaterThan(line.value);
  });

  test('a gap in the samples shows what it can do', () => {
    const found = answer('co-average --samples 150ppm:2h,gap:2h,50ppm:4h');
    expect((found['atLeast'] as { value: number }).value).toBeCloseTo(62.5, 9);
    expect((found['atMost'] as { value: number }).value).toBeCloseTo(100, 9);
    expect(answer('co-average --samples 40ppm:15min --over 15min').value).toBeCloseTo(40, 9);
  });

  test('carboxyhaemoglobin says that it is an estimate and what it assumes', () => {
    const found = answer('cohb --concentration 50ppm --time 8h --activity light --initial 0.8%');
    expect(JSON.stringify(found['assumes'])).toMatch(/not a blood test/);
    expect(found.value).toBeCloseTo(7.02, 1);
  });

  test('calm wind can’t say', () => {
    expect(answer('intake-plume --wind-from 90deg --intake-bearing 270deg --wind-speed 1m/s')).toMatchObject({ intake: 'cant-say', inPlume: null });
    expect(answer('intake-plume --wind-from 90 --intake-bearing 100deg')).toMatchObject({ intake: 'clear', inPlume: false, value: expect.closeTo(170, 6) as number });
  });
});
