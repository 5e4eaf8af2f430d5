/** Three activations within a minute (ISA-18.2, seen in a secondary source). */
const ACTIVATIONS = 3;
const WITHIN_MS = 60_000;

/** The last activations of one alarm, oldest first, with one more. */
export function nextActivations(before: readonly number[], atMs: number): number[] {
  return [...before.slice(1 - ACTIVATIONS), atMs];
}

/** True from the third activation within a minute until a minute without one. */
export function isChattering(activations: readonly number[], atMs: number): boolean {
  const first = activations.at(-ACTIVATIONS);
  const last = activations.at(-1);
  return first !== undefined && last !== undefined && last - first <= WITHIN_MS && atMs - last <= WITHIN_MS;
}
