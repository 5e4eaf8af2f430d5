import { useState } from 'react';
import { useSeat } from '../../hooks/desk-context.ts';
import { Choices } from '../../ui/Choices.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';
import { readValue } from './read-value.ts';

const POINT = 'breathing-air-co';

/** Gas on the monitor, and whether it alarmed. */
export function BumpForm({ rig, onDone }: { readonly rig: string; readonly onDone: () => void }) {
  const { words } = useSeat();
  const told = words.settingsScreen.sensors;
  const [gas, setGas] = useState('');
  const [result, setResult] = useState('');
  const [note, setNote] = useState('');
  const compose = (): { body: unknown } | { missing: string } => {
    const read = readValue(POINT, gas);
    if (!read || result === '') return { missing: told.badValue('ppm') };
    return { body: { point: POINT, gas: read, passed: result === 'passed', note } };
  };
  return (
    <OrderForm path={`/api/rigs/${encodeURIComponent(rig)}/bump-tests`} compose={compose} submit={told.send} testId="send-bump" onDone={onDone}>
      <label className="field">
        {told.gas}
        <input value={gas} placeholder="50ppm" data-testid="bump-gas" autoComplete="off" onChange={(event) => setGas(event.target.value)} />
      </label>
      <Choices legend={told.bump} name="bump-result" chosen={result} options={[['passed', told.passed], ['failed', told.failed]]} onChoose={setResult} />
      <label className="field">
        {told.note}
        <input value={note} autoComplete="off" onChange={(event) => setNote(event.target.value)} />
      </label>
    </OrderForm>
  );
}
