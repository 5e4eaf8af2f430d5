/** The longest flash cycle: every mark starts within it, so all flash in step and together stay below three a second. */
const FLASH_CYCLE_MS = 2_000;

/** The CSS delay that puts a mark made now in step with all others. */
export function flashInStep(): string {
  return `-${Math.round(performance.now() % FLASH_CYCLE_MS)}ms`;
}
