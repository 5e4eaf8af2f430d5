/**
 * The state table of ISA-18.2-2016 / IEC 62682 (seen in a secondary source), written down once more, plainly and slowly, by the
 * standard's letters; shares no code with the product. What the standard leaves to the implementer is written as our rules say.
 *
 *   A normal · B unacknowledged · C acknowledged · D returned to normal, unacknowledged · E latched, unacknowledged
 *   F latched, acknowledged · G shelved · H suppressed by design · I out of service
 */
export type Letter = 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G' | 'H' | 'I';

export interface Options {
  readonly onDelayMs: number;
  readonly offDelayMs: number;
  readonly latched: boolean;
  readonly autoAcknowledge: boolean;
  readonly needsOut: boolean;
}

export type Input =
  | { readonly kind: 'value'; readonly says: 'alarm' | 'clear' | 'hold' }
  | { readonly kind: 'acknowledge' | 'reset' | 'confirm-out' | 'unshelve' | 'in-service' | 'suppress' | 'unsuppress' | 'silence-at-rig' }
  | { readonly kind: 'shelve' | 'out-of-service'; readonly forMs: number };

export class Reference {
  readonly #is: Options;
  /** Where it would be if nothing set it aside. */
  letter: Letter = 'A';
  /** The condition with its delays counted. */
  inAlarm = false;
  #riseAtMs: number | null = null;
  #fallAtMs: number | null = null;
  /** People have been called in this occurrence. */
  #called = false;
  #outConfirmed = false;
  #atRig = false;
  /** A record exists of a quiet alarm that a person set aside. */
  #suppressed = false;
  #shelvedUntilMs: number | null = null;
  #outUntilMs: number | null = null;

  constructor(options: Options) {
    this.#is = options;
  }

  /** The letter that is shown. */
  get shown(): Letter {
    if (this.#outUntilMs !== null) return 'I';
    if (this.#shelvedUntilMs !== null) return 'G';
    if (this.#suppressed) return 'H';
    return this.letter;
  }

  /** Lets time pass: delays first, then the return to service, then the end of the shelf. */
  pass(toMs: number): void {
    for (;;) {
      const due = [this.#riseAtMs, this.#fallAtMs, this.#outUntilMs, this.#shelvedUntilMs].filter((ms): ms is number => ms !== null && ms <= toMs);
      if (due.length === 0) return;
      const now = Math.min(...due);
      if (this.#riseAtMs === now) this.#occurs();
      else if (this.#fallAtMs === now) this.#returns();
      else if (this.#outUntilMs === now) this.#release(() => (this.#outUntilMs = null));
      else this.#release(() => (this.#shelvedUntilMs = null));
    }
  }

  /** True where it was done, false where it is refused. */
  take(input: Input, nowMs: number): boolean {
    switch (input.kind) {
      case 'value':
        this.#value(input.says, nowMs);
        return true;
      case 'acknowledge':
        return this.#acknowledge(false);
      case 'silence-at-rig':
        return this.#acknowledge(true);
      case 'confirm-out':
        return this.#confirmOut();
      case 'reset':
        if (this.shown !== 'F' || (this.#is.needsOut && !this.#outConfirmed)) return false;
        this.#end();
        return true;
      case 'suppress':
        this.#suppressed = true;
        return true;
      case 'unsuppress':
        if (this.#suppressed) this.#release(() => (this.#suppressed = false));
        return true;
      case 'shelve':
        if (this.#outUntilMs !== null || this.#shelvedUntilMs !== null) return false;
        this.#shelvedUntilMs = nowMs + input.forMs;
        return true;
      case 'unshelve':
        if (this.#shelvedUntilMs === null) return false;
        this.#release(() => (this.#shelvedUntilMs = null));
        return true;
      case 'out-of-service':
        if (this.#outUntilMs !== null) return false;
        this.#outUntilMs = nowMs + input.forMs;
        return true;
      case 'in-service':
        if (this.#outUntilMs === null) return false;
        this.#release(() => (this.#outUntilMs = null));
        return true;
    }
  }

  get #isAside(): boolean {
    return this.#suppressed || this.#shelvedUntilMs !== null || this.#outUntilMs !== null;
  }

  #value(says: 'alarm' | 'clear' | 'hold', nowMs: number): void {
    if (!this.inAlarm) {
      if (says === 'clear') this.#riseAtMs = null;
      if (says !== 'alarm' || this.#riseAtMs !== null) return;
      if (this.#is.onDelayMs > 0) this.#riseAtMs = nowMs + this.#is.onDelayMs;
      else this.#occurs();
      return;
    }
    // Neither silence nor doubt clears: the off-delay starts anew.
    if (says !== 'clear') this.#fallAtMs = null;
    if (says !== 'clear' || this.#fallAtMs !== null) return;
    const delayMs = this.#suppressed && !this.#called ? 0 : this.#is.offDelayMs;
    if (delayMs > 0) this.#fallAtMs = nowMs + delayMs;
    else this.#returns();
  }

  #occurs(): void {
    this.#riseAtMs = null;
    this.inAlarm = true;
    this.#outConfirmed = false;
    this.#atRig = false;
    if (!this.#isAside) this.#call();
  }

  #call(): void {
    this.letter = 'B';
    this.#called = true;
    this.#outConfirmed = false;
    this.#atRig = false;
  }

  #returns(): void {
    this.#fallAtMs = null;
    this.inAlarm = false;
    if (this.#isAside) return;
    const { latched, needsOut, autoAcknowledge } = this.#is;
    if (this.letter === 'B') {
      if (latched) this.letter = 'E';
      else if (autoAcknowledge && !needsOut) this.#end();
      else this.letter = 'D';
    } else if (this.letter === 'C') {
      if (latched || (needsOut && !this.#outConfirmed)) this.letter = 'F';
      else this.#end();
    }
  }

  #acknowledge(atRig: boolean): boolean {
    if (this.#isAside) return false;
    switch (this.letter) {
      case 'B':
        this.letter = 'C';
        break;
      case 'D':
        if (this.#is.needsOut && !this.#outConfirmed) this.letter = 'F';
        else this.#end();
        break;
      case 'E':
        this.letter = 'F';
        break;
      case 'C':
      case 'F':
        // Taken already; somebody at the rig may take it there too, once.
        if (!atRig || this.#atRig) return false;
        break;
      case 'A':
      case 'G':
      case 'H':
      case 'I':
        return false;
    }
    this.#atRig = atRig;
    return true;
  }

  #confirmOut(): boolean {
    if (!this.#is.needsOut || this.#isAside || this.letter === 'A' || this.#outConfirmed) return false;
    this.#outConfirmed = true;
    if (this.letter === 'F' && !this.#is.latched) this.#end();
    return true;
  }

  /** What the last thing that set it aside leaves behind is what the live condition dictates. */
  #release(letGo: () => void): void {
    letGo();
    if (this.#isAside) return;
    if (this.inAlarm) this.#call();
    else if (this.#is.latched && this.#called) {
      this.letter = 'E';
      this.#atRig = false;
    } else this.#end();
  }

  #end(): void {
    this.letter = 'A';
    this.#called = false;
    this.#outConfirmed = false;
    this.#atRig = false;
  }
}
