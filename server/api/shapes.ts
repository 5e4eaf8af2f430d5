import { z } from 'zod';

/** An instant in answers: RFC 3339, UTC. */
export const rfc3339 = z.string().describe('RFC 3339, UTC');

/** An instant in requests: RFC 3339 with its offset. */
export const instant = z.iso.datetime({ offset: true }).transform((text) => Date.parse(text));

/** Every list the API answers with: `next` is the cursor of what follows, null at the end. */
export function listOf<T extends z.ZodType>(item: T) {
  return z.object({ items: z.array(item), next: z.string().nullable() });
}
