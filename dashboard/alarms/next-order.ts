/**
 * The order in which the list stands, and the one it should stand in. Pure. While somebody reads, nothing changes place: what is
 * new joins at the end, what has gone stays where it was, and a button offers the new order.
 */
export interface ListOrder {
  readonly shown: readonly string[];
  readonly fresh: readonly string[];
  readonly isHeld: boolean;
}

export type OrderEvent = { readonly kind: 'fresh'; readonly keys: readonly string[] } | { readonly kind: 'hold' | 'release' | 'renew' };

export const EMPTY_ORDER: ListOrder = { shown: [], fresh: [], isHeld: false };

export function nextOrder(order: ListOrder, event: OrderEvent): ListOrder {
  switch (event.kind) {
    case 'fresh': {
      if (isEqual(event.keys, order.fresh) && (order.isHeld || isEqual(order.shown, order.fresh))) return order;
      const known = new Set(order.shown);
      return { ...order, fresh: event.keys, shown: order.isHeld ? [...order.shown, ...event.keys.filter((key) => !known.has(key))] : event.keys };
    }
    case 'hold':
      return order.isHeld ? order : { ...order, isHeld: true };
    case 'release':
      return order.isHeld ? { ...order, isHeld: false, shown: order.fresh } : order;
    case 'renew':
      return { ...order, shown: order.fresh };
  }
}

/** Something stands elsewhere than it should: there is a new order to be had. */
export function isOutOfOrder(order: ListOrder): boolean {
  return !isEqual(order.shown, order.fresh);
}

function isEqual(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((key, index) => key === b[index]);
}
