"""Why a figure is what it is: the tree of reasons, opened at the figure that was asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Static, Tree

from appraise.commands import WHY
from appraise.screens.base_screen import BaseScreen
from appraise.screens.case_screen import CaseScreen
from appraise.widgets.footer import Foot
from appraise.widgets.plain import plain, wrapped
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType
    from textual.widgets.tree import TreeNode

    from appraise.model.reason import Reason, Reference
    from appraise.services.case_session import CaseSession


class ReasonTree(Tree["Reason"]):
    """A tree that opens and closes with the arrows and never slides sideways: each node is told in full beside it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right", "deeper", "Open, then below", show=False),
        Binding("left", "back_up", "Close, then above", show=False),
    ]
    """| Key | Does |
    | :- | :- |
    | right | Open the figure; when it is open, go to the first it rests on |
    | left | Close the figure; when it is closed, go to the one above that rests on it |
    """
    DEFAULT_CSS = "ReasonTree { overflow-x: hidden; }"

    def action_deeper(self) -> None:
        """Open the node, or go to its first child."""
        node = self.cursor_node
        if node is None or not node.allow_expand:
            return
        if node.is_expanded:
            self.action_cursor_down()
        else:
            node.expand()

    def action_back_up(self) -> None:
        """Close the node, or go to its parent."""
        node = self.cursor_node
        if node is None:
            return
        if node.allow_expand and node.is_expanded and not node.is_root:
            node.collapse()
        elif node.parent is not None:
            self.move_cursor(node.parent)


class ReasonsScreen(BaseScreen[None]):
    """A reason tree, with rule and sources of the node under the cursor; of what is for subclasses."""

    CSS_PATH = "why.tcss"
    SCOPE = WHY
    AUTO_FOCUS = "#tree"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual
    figures: Sequence[str] = ()
    """Addresses at which the tree opens: the first that exists."""

    @property
    def reasons(self) -> Reason:
        """The tree."""
        raise NotImplementedError

    def show_title(self) -> None:
        """Say in the title what is told."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """The tree, and beside or below it the node under the cursor."""
        reasons = self.reasons
        yield TitleBar()
        with Horizontal(id="why"):
            tree = ReasonTree(_label(reasons), reasons, id="tree")
            tree.guide_depth = 2
            yield tree
            with VerticalScroll(id="because"):
                yield Static(id="node")
        yield Foot()

    def on_mount(self) -> None:
        """Open the tree at the figure."""
        self.show_title()
        tree = self._tree()
        self._fill(tree.root)
        tree.root.expand()
        route = next((result for figure in self.figures if (result := path_to(self.reasons, figure))), ())
        node = tree.root
        for reason in route[1:]:
            node = next(child for child in node.children if child.data is reason)
            self._fill(node)
            node.expand()
        self.call_after_refresh(self._stand_on, node)

    def _tree(self) -> ReasonTree:
        return self.query_one("#tree", ReasonTree)

    def _stand_on(self, node: TreeNode[Reason]) -> None:
        self._tree().move_cursor(node)
        self._tree().scroll_to_node(node, animate=False)
        self._show(node)

    @staticmethod
    def _fill(node: TreeNode[Reason]) -> None:
        """Give a node its children when it is first opened: the whole tree is long."""
        if node.data is None or node.children:
            return
        for part in node.data.parts:
            node.add(_label(part), part, allow_expand=bool(part.parts))

    @on(Tree.NodeExpanded)
    def _expanded(self, message: Tree.NodeExpanded[Reason]) -> None:
        self._fill(message.node)

    @on(Tree.NodeHighlighted)
    def _highlighted(self, message: Tree.NodeHighlighted[Reason]) -> None:
        self._show(message.node)

    def on_resize(self) -> None:
        """The words wrap anew."""
        node = self._tree().cursor_node
        if node is not None:
            self.call_after_refresh(self._show, node)

    def _show(self, node: TreeNode[Reason]) -> None:
        if node.data is not None and self.is_mounted:
            width = max(10, self.query_one("#because", VerticalScroll).scrollable_content_region.width)
            self.query_one("#node", Static).update(reason_text(node.data, width))


class WhyScreen(ReasonsScreen, CaseScreen):
    """The reasons of the figures of one worksheet."""

    PLACE = "Why?"
    CSS_PATH = "why.tcss"

    def __init__(self, worksheet: CaseSession, figures: Sequence[str] = ("value",)) -> None:
        CaseScreen.__init__(self, worksheet)
        self.figures = figures

    @property
    def reasons(self) -> Reason:
        """Those of the valuation."""
        return self.worksheet.reasons

    def show_title(self) -> None:
        """Name the case."""
        CaseScreen.show_title(self)

    def show_case(self) -> None:
        """The reasons were drawn from the case when the screen opened; it cannot change below it."""


class OfferScreen(ReasonsScreen):
    """Why the highest offer for a candidate is what it is."""

    CSS_PATH = "why.tcss"

    def __init__(self, file: str, tree: Reason) -> None:
        """Make the screen.

        Args:
            file: Name of the case file.
            tree: As from `report.offer_reason`.
        """
        super().__init__()
        self._file, self._tree_of_offer = file, tree

    @property
    def reasons(self) -> Reason:
        """Those of the offer."""
        return self._tree_of_offer

    def show_title(self) -> None:
        """Name the file."""
        self.query_one(TitleBar).show("Why?", "The highest offer", self._file)

    def action_back(self) -> None:
        """Back to the candidates."""
        self.dismiss(None)


def path_to(root: Reason, figure: str) -> tuple[Reason, ...]:
    """Return the nodes from the root down to a figure, both included; empty when it is not there."""
    if root.figure == figure:
        return (root,)
    for part in root.parts:
        below = path_to(part, figure)
        if below:
            return (root, *below)
    return ()


def reason_text(reason: Reason, width: int) -> Content:
    """Return all of one node, in lines of `width` cells."""
    lines = wrapped(reason.label, width, "bold")
    lines += wrapped(reason.shown, width, "bold $primary")
    lines += [Content(""), *wrapped(reason.how, width, "$foreground")]
    if reason.references:
        lines += [Content(""), *wrapped("Rests on", width, "bold $secondary")]
    for reference in reason.references:
        lines += _reference(reference, width)
    lines += [Content(""), *wrapped(f"figure {reason.figure}", width, "$faint")]
    return Content("\n").join(lines)


def _reference(reference: Reference, width: int) -> list[Content]:
    yours = " · yours" if reference.yours else ""
    lines = wrapped(f"{reference.ref}{yours}", width, "bold $warning" if reference.yours else "$foreground")
    text = reference.standing + (f": {reference.source}" if reference.source else "")
    text += f", {reference.where}" if reference.where else ""
    return [*lines, *wrapped(f"  {text}", width, "$quiet", indent=2)]


def _label(reason: Reason) -> Text:
    return Text.assemble((plain(reason.label), ""), "  ", (plain(reason.shown), "bold"))
