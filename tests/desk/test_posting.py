"""What another thread finds reaches the window's, and nobody who has gone."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import delete

from observe.desk.posting import told_to


def test_it_is_heard_in_the_windows_thread(qtbot: QtBot) -> None:
    heard: list[tuple[int, threading.Thread]] = []
    receiver = QObject()
    tell = told_to(receiver, lambda found: heard.append((found, threading.current_thread())))
    thread = threading.Thread(target=tell, args=(7,))
    thread.start()
    qtbot.waitUntil(lambda: bool(heard))
    thread.join()
    assert heard == [(7, threading.main_thread())]


def test_who_was_destroyed_meanwhile_hears_nothing(qapp: QApplication) -> None:
    heard: list[int] = []
    receiver = QObject()
    tell = told_to(receiver, heard.append)
    thread = threading.Thread(target=tell, args=(7,))
    thread.start()
    thread.join()
    delete(receiver)
    qapp.processEvents()
    assert heard == []


@pytest.mark.parametrize("turn", range(3))
def test_parts_that_go_while_many_threads_tell_them_do_no_harm(
    qapp: QApplication, turn: int
) -> None:
    heard: list[int] = []
    threads = []
    for _ in range(40):
        window = QWidget()
        part = QObject(window)
        tell = told_to(part, heard.append)
        threads += [threading.Thread(target=tell, args=(turn,)) for _ in range(3)]
        for one in threads[-3:]:
            one.start()
        delete(window)
    for one in threads:
        one.join()
    qapp.processEvents()
    assert heard == []
