/** One stage opened: its name, wait and machine, what it waits for, its place, and taking it away. */
import { useState } from 'preact/hooks';
import type { StageCode } from '../../domain/ids.ts';
import type { SiteChange } from '../../domain/site-change-kinds.ts';
import { routesToChange } from '../../domain/site-change-routes.ts';
import { stageIn } from '../../domain/site-change-stages.ts';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { NeedsEditor } from './site-needs.tsx';

interface Props {
  readonly drafting: SiteDrafting;
  readonly stage: StageCode;
  readonly onClose: () => void;
}

export function StageEditor({ drafting, stage, onClose }: Props) {
  return (
    <div class="site-editor">
      <Facts drafting={drafting} stage={stage} onClose={onClose} />
      <div>
        <NeedsEditor drafting={drafting} stage={stage} />
        <Place drafting={drafting} stage={stage} onClose={onClose} />
      </div>
    </div>
  );
}

function Facts({ drafting, stage, onClose }: Props) {
  const known = stageIn(drafting.book, stage);
  const [name, setName] = useState(known?.name ?? stage);
  const [plain, setPlain] = useState(known?.plain ?? '');
  const [machine, setMachine] = useState(known?.machine ?? false);
  const [least, setLeast] = useState(known?.settles?.least.toString() ?? '');
  const [most, setMost] = useState(known?.settles?.most.toString() ?? '');

  const takeOver = () => {
    const settles = least === '' && most === '' ? null : waitOf(least, most);
    const before = known?.settles ?? null;
    const made: SiteChange[] = [];
    if (name !== known?.name || plain !== known.plain) {
      made.push({ change: 'name-stage', stage, name, plain });
    }
    if (machine !== known?.machine) made.push({ change: 'machine-stage', stage, machine });
    if (settles?.least !== before?.least || settles?.most !== before?.most) {
      made.push({ change: 'settle-stage', stage, settles });
    }
    if (drafting.change(stage, ...made)) onClose();
  };

  return (
    <form
      class="site-form"
      onSubmit={(event) => {
        event.preventDefault();
        takeOver();
      }}
    >
      <fieldset disabled={!drafting.canChange}>
        <label>
          {site.name}
          <input value={name} maxLength={60} onInput={(event) => setName(event.currentTarget.value)} />
        </label>
        <label>
          {site.plain}
          <input value={plain} maxLength={80} onInput={(event) => setPlain(event.currentTarget.value)} />
        </label>
        <div class="site-two">
          <label>
            {site.waitLeast}
            <input
              value={least}
              inputMode="numeric"
              maxLength={6}
              onInput={(event) => setLeast(event.currentTarget.value.replace(/\D/g, ''))}
            />
          </label>
          <label>
            {site.waitMost}
            <input
              value={most}
              inputMode="numeric"
              maxLength={6}
              onInput={(event) => setMost(event.currentTarget.value.replace(/\D/g, ''))}
            />
          </label>
        </div>
        <p class="desk-calm">{site.waitHint}</p>
        <label class="site-check">
          <input
            type="checkbox"
            checked={machine}
            onChange={(event) => setMachine(event.currentTarget.checked)}
          />
          {site.machine}
        </label>
      </fieldset>
      <div class="site-buttons">
        <button type="button" onClick={onClose}>
          {site.close}
        </button>
        <button type="submit" class="site-main" disabled={!drafting.canChange}>
          {site.take}
        </button>
      </div>
    </form>
  );
}

/** One field left empty is the same as the other. */
function waitOf(least: string, most: string) {
  return { least: Number(least === '' ? most : least), most: Number(most === '' ? least : most) };
}

function Place({ drafting, stage, onClose }: Props) {
  const codes = routesToChange(drafting.book).steps.map((step) => step.stage);
  const at = codes.indexOf(stage);
  const move = (before: StageCode | null) => drafting.change(stage, { change: 'move-stage', stage, before });
  const remove = () => {
    if (drafting.change(stage, { change: 'remove-stage', stage })) onClose();
  };
  return (
    <div class="site-place">
      <div class="site-buttons">
        <button
          type="button"
          disabled={!drafting.canChange || at <= 0}
          onClick={() => move(codes[at - 1] ?? null)}
        >
          {site.up}
        </button>
        <button
          type="button"
          disabled={!drafting.canChange || at >= codes.length - 1}
          onClick={() => move(codes[at + 2] ?? null)}
        >
          {site.down}
        </button>
        <button type="button" class="site-danger" disabled={!drafting.canChange} onClick={remove}>
          {site.remove}
        </button>
      </div>
      <p class="desk-calm">{site.removeHint}</p>
    </div>
  );
}
