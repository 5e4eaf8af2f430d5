import { useSeat } from '../../hooks/desk-context.ts';
import { OnceDialog } from '../OnceDialog.tsx';
import { whenText } from '../parts.tsx';

export interface Code {
  readonly name: string;
  readonly code: string;
  readonly until: string;
}

export function CodeDialog({ code, zone, onClose }: { readonly code: Code; readonly zone: string; readonly onClose: () => void }) {
  const { words } = useSeat();
  const told = words.people.code;
  return <OnceDialog title={told.title(code.name)} what={told.how} secret={code.code} more={told.until(whenText(code.until, zone, words))} onClose={onClose} />;
}
