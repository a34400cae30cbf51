/**
 * What a scanner's first keys did to the field that had the focus, and how to undo it; and how to type into a
 * field what was held back. Changes are announced by `input`, as if typed, so that whoever owns the field hears.
 */

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

/** A field as it stood before the burst. */
export interface FieldBefore {
  readonly field: Field;
  readonly value: string;
  readonly selection: readonly [number, number] | null;
}

/** Input types that take no text: keys on them press or pick, they do not type. */
const NOT_TYPED_INTO = ['button', 'checkbox', 'color', 'file', 'image', 'radio', 'range', 'reset', 'submit'];

/** Whether keys typed now would end up in `element` as text. */
export function takesText(element: Element | null): element is HTMLInputElement | HTMLTextAreaElement {
  if (element instanceof HTMLTextAreaElement) return !element.readOnly && !element.disabled;
  if (!(element instanceof HTMLInputElement)) return false;
  return !element.readOnly && !element.disabled && !NOT_TYPED_INTO.includes(element.type);
}

/** Notes how `element` stands, or null where keys change nothing in it. */
export function noteField(element: Element | null): FieldBefore | null {
  if (element instanceof HTMLSelectElement) return { field: element, value: element.value, selection: null };
  if (!takesText(element)) return null;
  const { selectionStart: start, selectionEnd: end } = element;
  return {
    field: element,
    value: element.value,
    selection: start === null || end === null ? null : [start, end],
  };
}

/** Puts the field back to how it stood; says nothing where nothing had changed. */
export function restoreField({ field, value, selection }: FieldBefore): void {
  if (field.value === value) return;
  field.value = value;
  if (selection !== null && !(field instanceof HTMLSelectElement)) field.setSelectionRange(...selection);
  announce(field);
}

/** Types `text` at the caret of `element`, where that is a field. */
export function typeInto(element: Element | null, text: string): void {
  if (text === '' || !takesText(element)) return;
  const { selectionStart: start, selectionEnd: end } = element;
  // Number and date fields have no caret to ask for.
  if (start === null || end === null) element.value += text;
  else element.setRangeText(text, start, end, 'end');
  announce(element, text);
}

function announce(field: Field, data: string | null = null): void {
  const inputType = data === null ? 'historyUndo' : 'insertText';
  field.dispatchEvent(new InputEvent('input', { bubbles: true, inputType, data }));
  if (field instanceof HTMLSelectElement) field.dispatchEvent(new Event('change', { bubbles: true }));
}
