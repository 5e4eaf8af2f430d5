import type { Owner } from '../../domain/site/topology.ts';
import type { SiteWriter } from '../intake/site-writer.ts';
import { notFound } from './problem-error.ts';

/** The rig of this id and the site that has it. @throws ProblemError 404 */
export function findRig(writers: ReadonlyMap<string, SiteWriter>, rig: string): { writer: SiteWriter; owner: Owner } {
  for (const writer of writers.values()) {
    const owner = writer.state.topology?.owners.get(rig);
    if (owner?.kind === 'rig') return { writer, owner };
  }
  throw notFound(`rig ${JSON.stringify(rig)}`);
}
