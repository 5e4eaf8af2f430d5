import { useState } from 'react';
import { orderAlarms } from '../alarms/order-alarms.ts';
import { useSeat } from '../hooks/desk-context.ts';
import type { ScreenProps } from '../page/screen-props.ts';
import { PressureProfile } from './profile/PressureProfile.tsx';
import { RecentTraces } from './recent/RecentTraces.tsx';
import { RigAir } from './RigAir.tsx';
import { RigHead } from './RigHead.tsx';
import { RigRows } from './RigRows.tsx';
import { RigSteel } from './RigSteel.tsx';
import { RigSwitch } from './RigSwitch.tsx';
import { ShiftSoFar } from './ShiftSoFar.tsx';
import { SiteWeather } from './SiteWeather.tsx';
import { WatchDoors } from './WatchDoors.tsx';

/** More rigs than this don't fit large side by side. */
const MOST_LARGE = 4;

/** The live line of a site. */
export function Watch({ site, alarms, isLive }: ScreenProps) {
  const { words } = useSeat();
  const [rigId, setRigId] = useState<string | null>(null);
  const standing = orderAlarms(alarms);
  const chosen = site.rigs.find((r) => r.id === rigId) ?? site.rigs[0];
  const alarmsOf = (rig: string) => standing.filter((a) => a.rig === rig || site.compressors.some((c) => c.id === a.owner && c.serves.includes(rig)));
  const isMany = site.rigs.length > MOST_LARGE;
  // Of many, only the one that is looked at is drawn large: what is hidden would be laid out for nobody.
  const large = isMany ? site.rigs.filter((rig) => rig === chosen) : site.rigs;
  return (
    <RecentTraces rigs={large} isLive={isLive}>
      <main className="sheet" data-rigs={site.rigs.length} data-many={isMany || undefined}>
        <RigSwitch rigs={site.rigs} chosen={chosen?.id} alarms={standing} onChoose={setRigId} />
        {isMany ? <RigRows rigs={site.rigs} chosen={chosen?.id} alarmsOf={alarmsOf} onChoose={setRigId} /> : null}
        {chosen ? <WatchDoors rig={chosen} /> : null}
        <div className="deck">
          {large.map((rig) => (
            <div key={rig.id} className="deck__rig" data-chosen={rig === chosen || undefined}>
              <RigAir rig={rig} zone={site.zone} alarms={alarmsOf(rig.id)} />
            </div>
          ))}
        </div>
        {large.map((rig) => (
          <section key={rig.id} className="rig" data-chosen={rig === chosen || undefined} data-testid={`rig-${rig.id}`} aria-label={rig.name}>
            <RigHead rig={rig} zone={site.zone} />
            <PressureProfile rig={rig} zone={site.zone} alarms={alarmsOf(rig.id)} />
            <RigSteel rig={rig} alarms={alarmsOf(rig.id)} />
          </section>
        ))}
        <SiteWeather site={site} />
        {large.map((rig) => (
          <div key={rig.id} className="shift-of" data-chosen={rig === chosen || undefined}>
            <ShiftSoFar rig={rig} zone={site.zone} isLive={isLive} />
          </div>
        ))}
        {site.rigs.length === 0 ? <p className="sheet__empty">{words.noRigs}</p> : null}
      </main>
    </RecentTraces>
  );
}
