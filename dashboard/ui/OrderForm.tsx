import { type FormEvent, type ReactNode, useState } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';

export interface OrderFormProps {
  readonly path: string;
  readonly method?: 'POST' | 'PUT';
  /** What to send, or what is missing in words. */
  readonly compose: () => { readonly body: unknown } | { readonly missing: string };
  readonly submit: string;
  readonly testId: string;
  readonly onDone: () => void;
  readonly onCancel?: () => void;
  readonly isHeld?: boolean;
  readonly children: ReactNode;
}

/** Fields and the key that sends them. What was typed stays until the server has it. */
export function OrderForm({ path, method = 'POST', compose, submit, testId, onDone, onCancel, isHeld = false, children }: OrderFormProps) {
  const { words } = useSeat();
  const { isSending, failure, send } = useOrder();
  const [missing, setMissing] = useState<string | null>(null);
  const onSubmit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const composed = compose();
    if ('missing' in composed) return setMissing(composed.missing);
    setMissing(null);
    if (await send(path, composed.body, method)) onDone();
  };
  return (
    <form className="dialog__step" noValidate onSubmit={(event) => void onSubmit(event)}>
      {children}
      <p className="alarm__failure" role="alert">
        {missing ?? failure ?? ''}
      </p>
      <div className="dialog__orders">
        <button type="submit" className="action" data-testid={testId} disabled={isSending || isHeld}>
          {isSending ? words.alarms.sending : submit}
        </button>
        {onCancel ? (
          <button type="button" className="action action--quiet" onClick={onCancel}>
            {words.aside.cancel}
          </button>
        ) : null}
      </div>
    </form>
  );
}
