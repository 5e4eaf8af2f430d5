import type { Words } from '../words/en.ts';

/** Which sites somebody sees, in words. */
export function sitesText(sites: readonly string[] | null, words: Words['people']): string {
  if (sites === null) return words.sites(words.every);
  return sites.length === 0 ? words.noSites : words.sites(sites.join(', '));
}
