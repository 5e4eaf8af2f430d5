import { type ReactNode, useEffect, useId, useRef } from 'react';

export interface DialogProps {
  readonly title: string;
  readonly what?: string;
  readonly testId: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}

/** The browser's own dialog: it keeps the keyboard inside, closes on Escape and gives the focus back. */
export function Dialog({ title, what, testId, onClose, children }: DialogProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog className="dialog" ref={dialog} data-testid={testId} aria-labelledby={id} onClose={onClose}>
      <h2 id={id}>{title}</h2>
      {what === undefined ? null : <p className="dialog__what">{what}</p>}
      {children}
    </dialog>
  );
}
