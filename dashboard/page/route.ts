/** Where the page is. In the address, so that a reload and the browser's own way back keep it. */
export const ROUTES = ['watch', 'alarms', 'alarms/aside', 'alarms/journal', 'alarms/metrics', 'shifts', 'rig', 'ready', 'sizing', 'people', 'settings', 'sites', 'demonstration'] as const;
export type Route = (typeof ROUTES)[number];

/** Screens whose address goes on: `shifts/<id>/trace`, `rig/<id>`, `ready/<id>`, `people/<tab>`, `settings/<part>`. */
const WITH_MORE: readonly Route[] = ['shifts', 'rig', 'ready', 'people', 'settings'];

export interface Place {
  readonly route: Route;
  /** What follows the route in the address. */
  readonly rest: readonly string[];
  readonly query: URLSearchParams;
}

export function parseRoute(hash: string): Place {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  const [first = '', ...rest] = path.split('/');
  const wide = WITH_MORE.find((route) => route === first);
  return { route: wide ?? ROUTES.find((route) => route === path) ?? 'watch', rest: wide ? rest.filter((part) => part !== '').map(decode) : [], query: new URLSearchParams(query) };
}

export function routeHref(route: Route, query: Readonly<Record<string, string>> = {}, rest: readonly string[] = []): string {
  const text = new URLSearchParams(query).toString();
  return `#/${[route, ...rest.map(encodeURIComponent)].join('/')}${text === '' ? '' : `?${text}`}`;
}

/** A mistyped address is an unknown place, not a broken page. */
function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
