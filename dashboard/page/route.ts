/** Where the page is. In the address, so that a reload and the browser's own way back keep it. */
export const ROUTES = ['watch', 'alarms', 'alarms/aside', 'alarms/journal', 'alarms/metrics'] as const;
export type Route = (typeof ROUTES)[number];

export function parseRoute(hash: string): { readonly route: Route; readonly query: URLSearchParams } {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  return { route: ROUTES.find((route) => route === path) ?? 'watch', query: new URLSearchParams(query) };
}

export function routeHref(route: Route, query: Readonly<Record<string, string>> = {}): string {
  const text = new URLSearchParams(query).toString();
  return `#/${route}${text === '' ? '' : `?${text}`}`;
}
