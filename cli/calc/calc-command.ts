import { Command } from 'commander';
import { QuantityError, parseUnit } from '../../domain/quantity/parse-quantity.ts';
import { type Unit, UnitError, fromSi, needUnit } from '../../domain/quantity/unit.ts';
import type { AnswerKind, Calculation } from './calculation.ts';
import { AIR_CALCULATIONS } from './air-calculations.ts';
import { CLIMATE_CALCULATIONS } from './climate-calculations.ts';
import { EXPOSURE_CALCULATIONS } from './exposure-calculations.ts';
import { LINE_CALCULATIONS } from './line-calculations.ts';
import { InputError, readInputs } from './read-inputs.ts';

export const CALCULATIONS: readonly Calculation[] = [...CLIMATE_CALCULATIONS, ...LINE_CALCULATIONS, ...AIR_CALCULATIONS, ...EXPOSURE_CALCULATIONS];

/** Whatever is wrong with a question ends in status 2: scripts tell it from an answer. */
class CalcCommand extends Command {
  override createCommand(name?: string): Command {
    return new CalcCommand(name);
  }

  override error(message: string, options?: { code?: string; exitCode?: number }): never {
    return super.error(message, { ...options, exitCode: 2 });
  }
}

/** The unit asked for, and how the answer gets into it. */
function answerUnit(calculation: Calculation, asked: string | undefined): { unit: Unit; kind: AnswerKind; absolute: boolean } {
  const written = asked ?? calculation.unit;
  let objection: unknown;
  for (const kind of calculation.answers) {
    try {
      return { ...parseUnit(written, kind.dimension), kind };
    } catch (error) {
      objection ??= error;
    }
  }
  throw objection;
}

/** Answers one question. @throws InputError, QuantityError, UnitError or RangeError, each naming what is wrong. */
export function answer(calculation: Calculation, written: Readonly<Record<string, string | undefined>>): Record<string, unknown> {
  const { unit, kind, absolute } = answerUnit(calculation, written['in']);
  const { given, told } = readInputs(calculation.inputs, written, calculation.atmosphere);
  const { si, method, source, more } = calculation.compute(given);
  const shifted = absolute && calculation.gaugeAnswer ? si + given.atmosphere : si;
  const value = fromSi(shifted * (kind.factor ?? 1), needUnit(unit.code, kind.dimension));
  if (!Number.isFinite(value)) throw new RangeError('these inputs have no answer');
  const reference = kind.dimension === 'pressure' && calculation.gaugeAnswer ? { reference: absolute ? 'absolute' : 'gauge' } : {};
  return { value, unit: unit.code, ...reference, inputs: told, method, source, ...more };
}

function addCalculation(calc: Command, calculation: Calculation): void {
  // A stray word is most often a quantity torn in two by a space: it must not be passed over.
  const command = calc.command(calculation.name).description(calculation.about).allowExcessArguments(false);
  for (const input of calculation.inputs) {
    const about = input.assumed === undefined ? input.about : `${input.about} (assumed: ${input.assumed})`;
    command.option(`--${input.flag} ${input.value}`, about);
  }
  if (calculation.atmosphere) {
    command.option('--atmosphere <pressure>', 'local atmospheric pressure, absolute (assumed: 1013.25 hPa)');
    command.option('--elevation <height>', 'height above the sea, in place of the atmosphere');
  }
  command.option('--in <unit>', `unit of the answer (without: ${calculation.unit})`);
  command.addHelpText('after', `\nExample:\n  potside calc ${calculation.name} ${calculation.example}`);
  command.action((_options: unknown, self: Command) => {
    const written: Record<string, string | undefined> = {};
    // Commander camel-cases flags; the calculation knows them as they are written.
    for (const option of self.options) if (option.long) written[option.long.slice(2)] = self.getOptionValue(option.attributeName()) as string | undefined;
    try {
      const text = JSON.stringify(answer(calculation, written), null, 2);
      (self.configureOutput().writeOut ?? ((chunk: string) => process.stdout.write(chunk)))(`${text}\n`);
    } catch (error) {
      if (error instanceof UnitError) self.error(`potside calc ${calculation.name}: --in: ${error.message}`);
      if (error instanceof InputError || error instanceof QuantityError || error instanceof RangeError) self.error(`potside calc ${calculation.name}: ${error.message}`);
      throw error;
    }
  });
}

/** `potside calc NAME …`: one computation, with its inputs, method and source, as JSON. */
export function calcCommand(): Command {
  const calc = new CalcCommand('calc').description('compute one thing and say how: inputs are numbers with a unit (100psi is gauge, 114.7psia absolute), the answer is JSON');
  calc.usage('<name> [options]').argument('[name]').allowExcessArguments().allowUnknownOption();
  for (const calculation of CALCULATIONS) addCalculation(calc, calculation);
  calc.action((name: string | undefined) => {
    const names = CALCULATIONS.map((one) => one.name).join(', ');
    calc.error(name === undefined ? `potside calc: a name is missing, one of ${names}` : `potside calc: nothing is called ${JSON.stringify(name)}; there is ${names}`);
  });
  return calc;
}
