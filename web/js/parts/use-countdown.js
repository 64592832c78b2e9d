// The time left of a test, each second, by the server's clock; spoken when little is left.
import { useEffect, useRef, useState } from "preact/hooks";
import { announce } from "../lib/announce.js";
import { ServerClock, spoken } from "../model/countdown.js";

/**
 * @param {string | undefined} endsAt nothing where no time is set @param {string} serverTime what the server's clock showed when it answered last
 * @returns {number | undefined} ms left
 */
export function useCountdown(endsAt, serverTime) {
  const clock = useRef({ of: "", clock: new ServerClock(serverTime, performance.now()) });
  if (clock.current.of !== serverTime) clock.current = { of: serverTime, clock: new ServerClock(serverTime, performance.now()) };
  const leftNow = () => (endsAt ? clock.current.clock.left(endsAt, performance.now()) : undefined);
  const [left, setLeft] = useState(leftNow);
  const before = useRef(left);
  useEffect(() => {
    if (!endsAt) return undefined;
    const tick = () => {
      const now = leftNow() ?? 0, says = spoken(before.current ?? now, now);
      before.current = now;
      if (says) announce(says);
      setLeft(now);
    };
    const timer = setInterval(tick, 1000);
    return () => clearInterval(timer);
  }, [endsAt]);
  return left;
}
