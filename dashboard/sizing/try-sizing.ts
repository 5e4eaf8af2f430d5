import type { SetUp } from '../../domain/air/sizing/set-up.ts';
import { type Sized, sizeLine } from '../../domain/air/sizing/size-line.ts';

/** Null where physics refuses the set-up: breathing air alone beyond the compressor. */
export function trySizing(setUp: SetUp): Sized | null {
  try {
    return sizeLine(setUp);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
