import { useSeat } from '../hooks/desk-context.ts';
import { FieldGroup, FieldList, FieldTree } from './FieldTree.tsx';
import { FieldLeaf } from './FieldLeaf.tsx';
import { Picker } from './Picker.tsx';
import { SITE_SCHEMA, type SchemaNode, writeTyped } from './schema.ts';
import { useDraft } from './use-settings.ts';

const ROOT = SITE_SCHEMA.properties ?? {};
const nodeOf = (name: string): SchemaNode => ROOT[name] ?? {};

/** Where the site is, whose law it follows, how long it keeps what it records. */
export function SiteSection() {
  const { words } = useSeat();
  const draft = useDraft();
  const told = words.settingsScreen;
  return (
    <>
      <p className="soft">{told.site.lead}</p>
      <FieldTree node={nodeOf('site')} path={['site']} omit={['id', 'zone']} />
      <div className="leaves">
        <ZonePicker value={writeTyped('text', draft.get(['site', 'zone']))} isReadOnly={!draft.mayEdit} wrong={draft.problems.get('site.zone') ?? null} onPick={(zone) => draft.set(['site', 'zone'], zone)} />
        {['regime', 'page'].map((name) => (
          <FieldLeaf key={name} node={nodeOf(name)} path={[name]} isNeeded={false} />
        ))}
      </div>
      <FieldGroup node={nodeOf('retention')} path={['retention']} />
      <FieldGroup node={nodeOf('flood')} path={['flood']} />
    </>
  );
}

export function ZonePicker({ value, isReadOnly = false, wrong = null, onPick }: { readonly value: string; readonly isReadOnly?: boolean; readonly wrong?: string | null; readonly onPick: (zone: string) => void }) {
  const { words } = useSeat();
  return <Picker label={words.settingsScreen.label('zone')} value={value} isFree isReadOnly={isReadOnly} wrong={wrong} open={words.settingsScreen.openList} testId="set-site.zone" options={ZONES} onPick={onPick} />;
}

const ZONES = Intl.supportedValuesOf('timeZone').map((zone) => [zone, zone] as const);

/** Machines, hoses and nozzles; their sensors stand under points. */
export function LineSection() {
  const { words } = useSeat();
  const told = words.settingsScreen;
  return (
    <>
      <p className="soft">{told.line.lead} {told.line.noPoints}</p>
      <fieldset className="group" data-testid="group-rigs">
        <legend>{told.line.rigs}</legend>
        <FieldList node={nodeOf('rigs').items ?? {}} path={['rigs']} omit={['points']} />
      </fieldset>
      <fieldset className="group" data-testid="group-compressors">
        <legend>{told.line.compressors}</legend>
        <FieldList node={nodeOf('compressors').items ?? {}} path={['compressors']} omit={['points']} />
      </fieldset>
    </>
  );
}

export function CheckSection() {
  const { words } = useSeat();
  return (
    <>
      <p className="soft">{words.settingsScreen.check.lead}</p>
      <FieldGroup node={nodeOf('ready')} path={['ready']} />
    </>
  );
}

export function ToldSection() {
  const { words } = useSeat();
  return (
    <>
      <p className="soft">
        {words.settingsScreen.told.lead} <a href="#/people">{words.settingsScreen.told.people}</a>
      </p>
      <FieldGroup node={nodeOf('notify')} path={['notify']} />
    </>
  );
}

export function NetworkSection() {
  const { words } = useSeat();
  return (
    <>
      <p className="settings__note">{words.settingsScreen.network.lead}</p>
      {['mqtt', 'uplinks', 'open-id'].map((name) => (
        <FieldGroup key={name} node={nodeOf(name)} path={[name]} />
      ))}
    </>
  );
}
