import type { ReactNode } from 'react';
import type { LiveSite } from '../../domain/wire/live.ts';
import { mayChangeSettings, maySeeSettings } from '../api/session.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { routeHref } from '../page/route.ts';
import { CheckSection, LineSection, NetworkSection, SiteSection, ToldSection } from './FileSections.tsx';
import { DeviceSection } from './DeviceSection.tsx';
import { FirstSteps } from './first/FirstSteps.tsx';
import { LimitsSection } from './limits/LimitsSection.tsx';
import { PointsSection } from './points/PointsSection.tsx';
import { SaveBar } from './SaveBar.tsx';
import { SensorsSection } from './sensors/SensorsSection.tsx';
import { TextSection } from './TextSection.tsx';
import { DraftContext, useSettings } from './use-settings.ts';
import './settings.css';

/** In the order in which somebody who comes here looks for them. */
const SECTIONS = ['points', 'line', 'limits', 'sensors', 'site', 'check', 'told', 'network', 'file', 'device'] as const;
type Section = (typeof SECTIONS)[number];
/** What everybody finds: the rest is what the file says. */
const FOR_ALL: readonly Section[] = ['sensors', 'device'];

export interface SettingsScreenProps {
  readonly site: LiveSite;
  readonly rest: readonly string[];
  readonly query: URLSearchParams;
}

/** What the configuration file can say, what is on the sensors' certificates, and what this device shows. */
export function SettingsScreen({ site, rest, query }: SettingsScreenProps) {
  const { words, session } = useSeat();
  const told = words.settingsScreen;
  const maySee = maySeeSettings(session.role);
  const sections = maySee ? SECTIONS : FOR_ALL;
  const chosen = sections.find((one) => one === rest[0]);
  const section = chosen ?? sections[0] ?? 'device';
  const read = useSettings(site.id, maySee, mayChangeSettings(session.role));
  const draft = typeof read === 'object' && 'held' in read ? read : null;
  return (
    <main className="sheet settings" data-testid="settings-screen" data-at={chosen ? 'section' : 'list'}>
      {query.has('first') ? <FirstSteps at={section === 'points' ? 'points' : 'other'} /> : null}
      <div className="settings__deck">
        <nav className="settings__nav" aria-label={told.sectionsOf}>
          <h2>{told.region}</h2>
          {sections.map((one) => (
            <a key={one} href={routeHref('settings', {}, [one])} data-testid={`section-${one}`} aria-current={one === section ? 'page' : undefined}>
              <strong>{told.sections[one][0]}</strong>
              <span>{told.sections[one][1]}</span>
            </a>
          ))}
        </nav>
        <div className="settings__section">
          <a className="settings__back" href={routeHref('settings')}>
            {told.all}
          </a>
          <h2 className="settings__title">{told.sections[section][0]}</h2>
          {section === 'device' ? (
            <DeviceSection />
          ) : section === 'sensors' ? (
            <SensorsSection site={site} />
          ) : read === 'reading' ? (
            <p role="status">{told.reading}</p>
          ) : draft === null ? (
            <p role="alert">{told.noFile}</p>
          ) : (
            <DraftContext value={draft}>
              {draft.held.trouble === null ? draft.held.inForce ? null : <p className="settings__note">{told.byHand(draft.held.file)}</p> : <Trouble text={draft.held.trouble} file={draft.held.file} />}
              {draft.mayEdit ? null : <p className="soft">{told.lookOnly}</p>}
              {partOf(section, site)}
              <SaveBar />
            </DraftContext>
          )}
          <p className="soft settings__advice">{told.advice}</p>
        </div>
      </div>
    </main>
  );
}

function Trouble({ text, file }: { text: string; file: string }) {
  const { words } = useSeat();
  return (
    <div className="settings__note" role="alert">
      <strong>{words.settingsScreen.trouble(file)}</strong>
      <pre>{text}</pre>
    </div>
  );
}

function partOf(section: Exclude<Section, 'device' | 'sensors'>, site: LiveSite): ReactNode {
  switch (section) {
    case 'points': return <PointsSection site={site} />;
    case 'line': return <LineSection />;
    case 'limits': return <LimitsSection site={site} />;
    case 'site': return <SiteSection />;
    case 'check': return <CheckSection />;
    case 'told': return <ToldSection />;
    case 'network': return <NetworkSection />;
    case 'file': return <TextSection site={site} />;
  }
}
