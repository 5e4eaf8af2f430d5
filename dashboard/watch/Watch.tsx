import { useState } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { useLink } from '../hooks/use-link.ts';
import { useStore } from '../hooks/use-store.ts';
import { isLive } from '../link/link-state.ts';
import { AlarmStrip } from './alarms/AlarmStrip.tsx';
import { orderAlarms } from './alarms/order-alarms.ts';
import { PressureProfile } from './profile/PressureProfile.tsx';
import { RigAir } from './RigAir.tsx';
import { RigHead } from './RigHead.tsx';
import { RigSteel } from './RigSteel.tsx';
import { RigSwitch } from './RigSwitch.tsx';
import { ShiftSoFar } from './ShiftSoFar.tsx';
import { SiteWeather } from './SiteWeather.tsx';
import { TopBar } from './TopBar.tsx';

/** The live line of a site. */
export function Watch({ onSignOut }: { onSignOut: () => void }) {
  const { desk, words } = useSeat();
  const { sites, alarms } = useStore(desk.live);
  const { holes, isOutdated } = useStore(desk.feed);
  const [siteId, setSiteId] = useState<string | null>(null);
  const [rigId, setRigId] = useState<string | null>(null);
  const site = sites.find((s) => s.id === siteId) ?? sites[0];
  const link = useLink(site);
  const live = isLive(link);
  const mine = orderAlarms(alarms.filter((a) => a.site === site?.id));
  const chosen = site?.rigs.find((r) => r.id === rigId) ?? site?.rigs[0];
  const alarmsOf = (rig: string) => mine.filter((a) => a.rig === rig || site?.compressors.some((c) => c.id === a.owner && c.serves.includes(rig)));
  return (
    <div className="page" data-live={live} data-demo={site?.demo || undefined}>
      <div className="top">
        {site?.demo ? (
          <p className="band band--demo" data-testid="demo-band" role="note">
            <strong>{words.demoBand}</strong> <span>{words.demoText}</span> <span className="band__more">{words.demoMore}</span>
          </p>
        ) : null}
        <TopBar site={site} sites={sites} link={link} onSite={setSiteId} onSignOut={onSignOut} />
        {site ? <AlarmStrip site={site} alarms={mine} isLive={live} /> : null}
      </div>
      {isOutdated ? <p className="band band--problem">{words.outdated}</p> : null}
      {site ? (
        <main className="sheet" data-rigs={site.rigs.length}>
          <RigSwitch rigs={site.rigs} chosen={chosen?.id} alarms={mine} onChoose={setRigId} />
          <div className="deck">
            {site.rigs.map((rig) => (
              <div key={rig.id} className="deck__rig" data-chosen={rig === chosen || undefined}>
                <RigAir rig={rig} zone={site.zone} alarms={alarmsOf(rig.id)} />
              </div>
            ))}
          </div>
          {site.rigs.map((rig) => (
            <section key={rig.id} className="rig" data-chosen={rig === chosen || undefined} data-testid={`rig-${rig.id}`} aria-label={rig.name}>
              <RigHead rig={rig} zone={site.zone} />
              <PressureProfile rig={rig} alarms={alarmsOf(rig.id)} />
              <RigSteel rig={rig} alarms={alarmsOf(rig.id)} />
            </section>
          ))}
          <SiteWeather site={site} />
          {site.rigs.map((rig) => (
            <div key={rig.id} className="shift-of" data-chosen={rig === chosen || undefined}>
              <ShiftSoFar rig={rig} zone={site.zone} isLive={live} />
            </div>
          ))}
          {site.rigs.length === 0 ? <p className="sheet__empty">{words.noRigs}</p> : null}
        </main>
      ) : holes > 0 ? (
        <p className="sheet__empty">{words.noRigs}</p>
      ) : null}
      <footer className="foot">
        {site && !site.recording ? (
          <p className="band band--problem" data-testid="not-recording-band" role="alert">
            <strong>{words.notRecording}</strong> <span>{words.notRecordingText}</span>
          </p>
        ) : null}
        <p className="foot__advice" data-testid="advice">
          {words.advice}
        </p>
      </footer>
    </div>
  );
}
