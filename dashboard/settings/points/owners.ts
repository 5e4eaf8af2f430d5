import { type OwnerKind, POINT_KINDS, type PointKind } from '../../../domain/points/catalogue.ts';
import type { SiteDocument } from '../../api/settings.ts';
import { type Path, getAt } from '../draft.ts';

/** Who may have sensors: the site, a compressor, a rig, and where their points stand in the file. */
export interface PointOwner {
  readonly id: string;
  readonly name: string;
  readonly kind: OwnerKind;
  readonly path: Path;
}

export function ownersIn(document: SiteDocument): PointOwner[] {
  const listed = (list: 'rigs' | 'compressors', kind: OwnerKind): PointOwner[] => {
    const entries = document[list];
    return (Array.isArray(entries) ? (entries as readonly unknown[]) : []).flatMap((entry, index) => {
      const { id, name } = (entry ?? {}) as { readonly id?: unknown; readonly name?: unknown };
      return typeof id === 'string' ? [{ id, name: typeof name === 'string' ? name : id, kind, path: [list, index, 'points'] }] : [];
    });
  };
  const { id, name } = (document['site'] ?? {}) as { readonly id?: string; readonly name?: string };
  return [...listed('rigs', 'rig'), ...listed('compressors', 'compressor'), { id: id ?? '', name: name ?? '', kind: 'site', path: ['points'] }];
}

/** What can be measured there. */
export function kindsOf(owner: PointOwner): readonly PointKind[] {
  return POINT_KINDS.filter((kind) => kind.origin === 'measured' && kind.owner === owner.kind);
}

export function isMapped(document: SiteDocument, owner: PointOwner, point: string): boolean {
  return getAt(document, [...owner.path, point]) !== undefined;
}
