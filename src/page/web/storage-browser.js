// What the page remembers: settings until they are changed, folded panels until the
// tab is closed. Both go without where the browser forbids it.

export const LONG = within(() => localStorage);
export const TAB = within(() => sessionStorage);
export const WHERE = "Kept in this browser, for this screen.";

function within(storage) {
  return {
    get: (key) => { try { return storage().getItem(key); } catch { return null; } },
    set: (key, value) => { try { storage().setItem(key, value); } catch { /* goes without */ } },
  };
}
