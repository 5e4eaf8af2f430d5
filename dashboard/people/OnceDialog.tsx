import { useSeat } from '../hooks/desk-context.ts';
import { Dialog } from '../ui/Dialog.tsx';

export interface OnceDialogProps {
  readonly title: string;
  readonly what: string;
  /** Told by the server once and kept nowhere. */
  readonly secret: string;
  readonly more?: string;
  readonly onClose: () => void;
}

/** A secret that is shown once. */
export function OnceDialog({ title, what, secret, more, onClose }: OnceDialogProps) {
  const { words } = useSeat();
  return (
    <Dialog title={title} what={what} testId="once" onClose={onClose}>
      <div className="dialog__step">
        <p>
          <code className="panel__secret panel__secret--large" data-testid="once-secret">{secret}</code>
        </p>
        {more === undefined ? null : <p>{more}</p>}
        <div className="dialog__orders">
          <button type="button" className="action" data-testid="once-done" onClick={onClose}>
            {words.people.close}
          </button>
        </div>
      </div>
    </Dialog>
  );
}
