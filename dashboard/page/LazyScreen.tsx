import { Component, type ReactNode, Suspense, lazy } from 'react';
import { useSeat } from '../hooks/desk-context.ts';

/** Fetched when first asked for: who only watches need not wait for them. */
export const LazyReady = lazy(async () => ({ default: (await import('../ready/ReadyScreen.tsx')).ReadyScreen }));
export const LazySizing = lazy(async () => ({ default: (await import('../sizing/SizingScreen.tsx')).SizingScreen }));
export const LazySettings = lazy(async () => ({ default: (await import('../settings/SettingsScreen.tsx')).SettingsScreen }));
export const LazyFirstRun = lazy(async () => ({ default: (await import('../settings/first/FirstRun.tsx')).FirstRun }));
export const LazyDemonstrationTab = lazy(async () => ({ default: (await import('../settings/first/demonstration/DemonstrationTab.tsx')).DemonstrationTab }));
export const LazyShifts = lazy(async () => ({ default: (await import('../shifts/ShiftsScreen.tsx')).ShiftsScreen }));
export const LazyPeople = lazy(async () => ({ default: (await import('../people/PeopleScreen.tsx')).PeopleScreen }));
export const LazySites = lazy(async () => ({ default: (await import('../sites/SitesScreen.tsx')).SitesScreen }));
export const LazyRigPage = lazy(async () => ({ default: (await import('../rig/RigPage.tsx')).RigPage }));

/** A screen on its way, or word that it could not be fetched: the rest of the page goes on watching in either case. */
export function LazyScreen({ children }: { children: ReactNode }) {
  const { words } = useSeat();
  return (
    <FetchGuard instead={<p className="sheet__empty" role="alert">{words.screenMissing}</p>}>
      <Suspense fallback={<p className="sheet__empty" role="status">{words.screenLoading}</p>}>{children}</Suspense>
    </FetchGuard>
  );
}

class FetchGuard extends Component<{ readonly children: ReactNode; readonly instead: ReactNode }, { readonly isBroken: boolean }> {
  override state = { isBroken: false };

  static getDerivedStateFromError(): { isBroken: boolean } {
    return { isBroken: true };
  }

  override render(): ReactNode {
    return this.state.isBroken ? this.props.instead : this.props.children;
  }
}
