import { createContext, useContext } from 'react';
import type { Session } from '../api/session.ts';
import type { Desk } from '../store/desk.ts';
import type { Words } from '../words/en.ts';

/** What every screen below sign-in may rely on. */
export interface Seat {
  readonly desk: Desk;
  readonly session: Session;
  readonly words: Words;
}

export const SeatContext = createContext<Seat | null>(null);

export function useSeat(): Seat {
  const seat = useContext(SeatContext);
  if (!seat) throw new Error('used outside of a signed-in page');
  return seat;
}
