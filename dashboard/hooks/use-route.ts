import { useSyncExternalStore } from 'react';
import { parseRoute } from '../page/route.ts';

export function useRoute(): ReturnType<typeof parseRoute> {
  return parseRoute(useSyncExternalStore(listen, () => location.hash));
}

function listen(onChange: () => void): () => void {
  window.addEventListener('hashchange', onChange);
  return () => window.removeEventListener('hashchange', onChange);
}
