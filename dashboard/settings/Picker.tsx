import { Button, ComboBox, Input, Label, ListBox, ListBoxItem, Popover } from 'react-aria-components';

export interface PickerProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [value: string, label: string, more?: string])[];
  /** Takes what is not in the list too. */
  readonly isFree?: boolean;
  readonly open: string;
  readonly testId: string;
  readonly isReadOnly?: boolean;
  readonly wrong?: string | null;
  readonly onPick: (value: string) => void;
}

/** One of many, found by typing a part of it: for keyboard, screen reader and fingers alike, by the library's combobox. */
export function Picker({ label, value, options, isFree = false, open, testId, isReadOnly = false, wrong = null, onPick }: PickerProps) {
  return (
    <ComboBox
      className="picker"
      menuTrigger="focus"
      allowsEmptyCollection={false}
      isReadOnly={isReadOnly}
      allowsCustomValue={isFree}
      {...(isFree ? { inputValue: value, onInputChange: onPick } : { defaultInputValue: options.find(([id]) => id === value)?.[1] ?? value })}
      selectedKey={options.some(([id]) => id === value) ? value : null}
      onSelectionChange={(key) => (key === null ? undefined : onPick(String(key)))}
    >
      {/* The library would put a style element into the page, which the content policy refuses; the rule is in settings.css. */}
      <span id="react-aria-pressable-style" hidden />
      <Label>{label}</Label>
      <div className="picker__box">
        <Input className="picker__text" data-testid={testId} autoComplete="off" spellCheck={false} aria-invalid={wrong !== null || undefined} />
        <Button className="picker__open" aria-label={open}>
          <svg viewBox="0 0 20 12" aria-hidden="true" focusable="false">
            <path d="M2 2l8 8 8-8" fill="none" stroke="currentColor" strokeWidth="2.5" />
          </svg>
        </Button>
      </div>
      <Popover className="picker__list" placement="bottom start" offset={2} maxHeight={320}>
        <ListBox items={options.map(([id, text, more]) => ({ id, text, more }))}>
          {({ id, text, more }) => (
            <ListBoxItem className="picker__item" id={id} textValue={text}>
              <span>{text}</span>
              {more === undefined ? null : <small>{more}</small>}
            </ListBoxItem>
          )}
        </ListBox>
      </Popover>
    </ComboBox>
  );
}
