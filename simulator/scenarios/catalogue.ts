import { demo } from './demo.ts';
import type { Scenario } from './scenario.ts';

/** Every scenario there is. */
export const SCENARIO_SHEETS: readonly Scenario[] = [demo];
