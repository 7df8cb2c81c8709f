// offerZone fills the time zone of the device into an untouched zone field on
// the page of a new tank, and offers the zones the browser knows.
export function offerZone(root: ParentNode): void {
  const input = root.querySelector<HTMLInputElement>("input[data-zone]");
  if (!input) return;
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const untouched = input.value === "" || input.value === "UTC";
  if (here && untouched && input.closest("form")?.getAttribute("action")?.startsWith("/begin")) input.value = here;
  const known = (Intl as unknown as { supportedValuesOf?: (key: string) => string[] }).supportedValuesOf;
  if (!known) return;
  const list = document.createElement("datalist");
  list.id = input.id + "-list";
  for (const zone of known("timeZone")) {
    const option = document.createElement("option");
    option.value = zone;
    list.append(option);
  }
  input.after(list);
  input.setAttribute("list", list.id);
}
