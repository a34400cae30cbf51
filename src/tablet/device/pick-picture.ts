/** Asks the device for a photograph: its camera where it has one, else its pictures. */

/** Must be called from a tap: browsers open the chooser for nothing less. */
export function pickPicture(onPicked: (file: File) => void): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = 'image/*';
  input.setAttribute('capture', 'environment');
  input.hidden = true;
  input.addEventListener('change', () => {
    const file = input.files?.[0];
    input.remove();
    if (file !== undefined) onPicked(file);
  });
  input.addEventListener('cancel', () => input.remove());
  document.body.append(input);
  input.click();
}
