import type { Owner } from '../../domain/site/topology.ts';
import type { Site } from '../intake/site.ts';
import { notFound } from './problem-error.ts';

/** The rig of this id and the site that has it. @throws ProblemError 404 */
export function findRig(writers: ReadonlyMap<string, Site>, rig: string): { writer: Site; owner: Owner } {
  for (const writer of writers.values()) {
    const owner = writer.state.topology?.owners.get(rig);
    if (owner?.kind === 'rig') return { writer, owner };
  }
  throw notFound(`rig ${JSON.stringify(rig)}`);
}
