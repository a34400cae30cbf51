import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';

/**
 * A part of the page that is read in after the page works: not needed for the first scan, and there soon after.
 * @returns the part, which shows nothing until it is there, and what starts reading it in
 */
export function later<Props extends object>(read: () => Promise<ComponentType<Props>>) {
  let part: ComponentType<Props> | null = null;
  const load = async () => {
    part ??= await read();
    return part;
  };
  const Later = (props: Props) => {
    // A component is a function, and a state's setter would call it: hence the wrapping.
    const [here, setHere] = useState(part === null ? null : { part });
    useEffect(() => {
      if (here === null) void load().then((loaded) => setHere({ part: loaded }));
    }, [here]);
    return here === null ? null : <here.part {...props} />;
  };
  return { Later, load };
}
