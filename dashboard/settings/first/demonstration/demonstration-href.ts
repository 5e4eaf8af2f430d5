import type { Demonstration } from '../../../api/demonstration.ts';
import { routeHref } from '../../../page/route.ts';

/** It listens on loopback: elsewhere its address would lead to another machine's. */
export function isWithinReach(hostname: string): boolean {
  return ['localhost', '127.0.0.1', '[::1]'].includes(hostname);
}

/** The demonstration's sign-in, with this person filled in. Behind the #: it is never sent. */
export function demonstrationHref({ url, people }: Demonstration, name: string): string {
  const { password = '' } = people.find((person) => person.name === name) ?? {};
  return `${url ?? ''}/${routeHref('watch', { name, password })}`;
}
